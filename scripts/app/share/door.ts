import { createHash, randomBytes, timingSafeEqual } from "node:crypto";
import type { ShareLog } from "./log.ts";

const COOKIE = "velarium-device";
const YEAR_S = 365 * 24 * 3600;

/** Who may come in: the devices that have scanned a code. A code lets one device in, then there is another. */
export class Door {
  private readonly log: ShareLog;
  private readonly sums: string[];
  private code = newSecret();

  constructor(log: ShareLog) {
    this.log = log;
    this.sums = log.deviceSums();
  }

  get openCode(): string {
    return this.code;
  }

  get devices(): number {
    return this.sums.length;
  }

  /** Lets a device in that shows the code; gives what it has to show from then on, or null. */
  join(code: string, nowMs: number): string | null {
    if (!same(sumOf(code), sumOf(this.code))) return null;
    const token = newSecret();
    this.log.addDevice(sumOf(token), nowMs);
    this.sums.push(sumOf(token));
    this.code = newSecret();
    return token;
  }

  /** The device that a request comes from, by the sum of its secret; null for anybody else. */
  deviceOf(cookies: string | undefined): string | null {
    const token = new RegExp(`(?:^|;\\s*)${COOKIE}=([\\w-]{16,64})`).exec(cookies ?? "")?.[1];
    if (token === undefined) return null;
    const shown = sumOf(token);
    return this.sums.find((sum) => same(sum, shown)) ?? null;
  }
}

/** No script of a page may read it, no other site's page may send it. */
export const cookieFor = (token: string): string =>
  `${COOKIE}=${token}; Path=/; Max-Age=${YEAR_S}; HttpOnly; SameSite=Strict`;

/** 128 bits: nobody guesses it, however long the code is shown. */
const newSecret = (): string => randomBytes(16).toString("base64url");
const sumOf = (secret: string): string => createHash("sha256").update(secret).digest("base64url");
/** In a time that tells nothing of how much of it was right; both are sums, of one length. */
const same = (a: string, b: string): boolean => timingSafeEqual(Buffer.from(a), Buffer.from(b));
