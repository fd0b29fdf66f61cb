import type { IncomingMessage, ServerResponse } from "node:http";
import { JobFaults } from "../../../src/job/faults.ts";
import { MAX_JOB_BYTES } from "../../../src/job/json.ts";
import { readJob } from "../../../src/job/read.ts";
import { MOST_ENTRIES } from "../../../src/record/read.ts";
import { entriesOf } from "./entries.ts";
import { cookieFor, Door } from "./door.ts";
import { GATE_PAGE, GATE_PATH, GATE_SCRIPT, GATE_SCRIPT_PATH, GATE_STYLE, GATE_STYLE_PATH } from "./gate.ts";
import { DiskRefuses, type SharedJob, type ShareLog } from "./log.ts";
import { Presence } from "./presence.ts";
import { Rates } from "./rates.ts";

/** A question for news is answered after this, news or not: by that both sides know that the other is there. */
const WAIT_MS = 20_000;
const MOST_ENTRY_BYTES = 2 * 1024 * 1024;
const MOST_JOIN_BYTES = 1024;
/** Of a record, in one answer. */
const MOST_CHARACTERS = 1024 * 1024;
/** Questions that may wait at once: a few for each tab of each device. */
const MOST_WAITING = 200;

/** What a request is refused with: a sentence for the person at the other device. */
class Refused extends Error {
  readonly status: number;
  readonly headers: Record<string, string>;
  constructor(status: number, words: string, headers: Record<string, string> = {}) {
    super(words);
    this.status = status;
    this.headers = headers;
  }
}

const SCAN =
  "This job is shared with devices that scanned its code. Scan the code on the computer that shares it.";
const NO_ROOM =
  "The disk of the computer that shares this job is full. Nothing is lost: what you did stays on this device and goes over when there is room again.";

/** Shared jobs for the devices that have scanned a code, and nothing for anybody else. */
export class Share {
  private readonly log: ShareLog;
  private readonly door: Door;
  private readonly presence = new Presence(() => this.wake());
  private readonly waiting = new Set<() => void>();
  private readonly strangers = new Rates(60, 1);
  private readonly codes = new Rates(10, 0.1);
  private readonly asks = new Rates(200, 40);
  private readonly joined: () => void;
  private readonly failed: (words: string) => void;
  /** Of this computer in its network, as in http://192.168.1.20:4600. */
  address: string | null = null;

  /** `joined` is called when a device came in: the code that was shown is used up. */
  constructor(log: ShareLog, joined: () => void, failed: (words: string) => void) {
    this.log = log;
    this.door = new Door(log);
    this.joined = joined;
    this.failed = failed;
  }

  /** Where the next device joins: good for one; null where other devices can't reach this computer. */
  joinAddress(): string | null {
    return this.address === null ? null : `${this.address}${GATE_PATH}#${this.door.openCode}`;
  }

  get devices(): number {
    return this.door.devices;
  }

  /** Answers a request; false leaves it to the server of files, which serves whoever may see the studio. */
  async answer(request: IncomingMessage, response: ServerResponse): Promise<boolean> {
    const url = new URL(request.url ?? "/", "http://localhost");
    const device = this.door.deviceOf(request.headers.cookie) ?? (isDesk(request) ? "desk" : null);
    try {
      this.mayAsk(request, device);
      if (url.pathname === GATE_PATH || device === null)
        if (await this.gate(url, request, response)) return true;
      if (!url.pathname.startsWith("/share")) return false;
      await this.route(url, device!, request, response);
    } catch (error) {
      this.refuse(error, device === null, request, response);
    }
    return true;
  }

  private mayAsk(request: IncomingMessage, device: string | null): void {
    const who = device ?? request.socket.remoteAddress ?? "";
    // the studio's own files are no questions: a page may be loaded as often as somebody likes
    const asks = device === null ? this.strangers : request.url!.startsWith("/share") ? this.asks : null;
    const waitS = asks?.waitS(who, Date.now()) ?? 0;
    if (waitS > 0)
      throw new Refused(429, `Too many questions from this device: it may ask again in ${waitS} s.`, {
        "Retry-After": String(waitS),
      });
    const { origin, host } = request.headers;
    const site = request.headers["sec-fetch-site"];
    const foreign = (origin !== undefined && origin !== `http://${host}`) || site === "cross-site";
    // following a link here from elsewhere is no harm: it shows the page, and sends nothing
    if (foreign && !isPage(request)) throw new Refused(403, "Only the studio's own pages may ask here.");
  }

  /** For those outside, and for those who bring a code: the page at the door, and the way in. */
  private async gate(url: URL, request: IncomingMessage, response: ServerResponse): Promise<boolean> {
    if (url.pathname === "/share/join" && request.method === "POST") {
      await this.join(request, response);
      return true;
    }
    if (request.method !== "GET" && request.method !== "HEAD") throw new Refused(403, SCAN);
    if (url.pathname === GATE_PATH) send(response, 200, HTML, GATE_PAGE);
    else if (url.pathname === GATE_SCRIPT_PATH) send(response, 200, SCRIPT, GATE_SCRIPT);
    else if (url.pathname === GATE_STYLE_PATH) send(response, 200, STYLE, GATE_STYLE);
    else throw new Refused(403, SCAN);
    return true;
  }

  private async join(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const waitS = this.codes.waitS(request.socket.remoteAddress ?? "", Date.now());
    if (waitS > 0)
      throw new Refused(429, `Too many codes were tried from this device: the next in ${waitS} s.`, {
        "Retry-After": String(waitS),
      });
    const { code } = (await bodyOf(request, MOST_JOIN_BYTES)) as { code?: unknown };
    const token = typeof code === "string" ? this.door.join(code, Date.now()) : null;
    if (token === null)
      throw new Refused(
        403,
        "This code is not good, or was used: each lets one device in. Scan the code that is shown now.",
      );
    send(response, 200, JSON_TYPE, JSON.stringify({ words: "Joined." }), { "Set-Cookie": cookieFor(token) });
    this.joined();
  }

  private async route(
    url: URL,
    device: string,
    request: IncomingMessage,
    response: ServerResponse,
  ): Promise<void> {
    const { method } = request;
    const [, , jobs, name = "", what = ""] = url.pathname.split("/");
    const id = decoded(name);
    if (url.pathname === "/share/join" && method === "POST") return this.join(request, response);
    if (url.pathname === "/share" && method === "GET") {
      const body = { jobs: this.log.list(), desk: device === "desk", join: this.joinAddress() };
      return send(response, 200, JSON_TYPE, JSON.stringify(body));
    }
    if (jobs !== "jobs" || id === "") throw new Refused(404, "There is nothing here.");
    if (what === "design" && method === "PUT") return this.takeDesign(id, device, request, response);
    const job = this.log.job(id);
    if (job === null) throw new Refused(404, "This job is not shared here.");
    if (what === "design" && method === "GET")
      return send(response, 200, JSON_TYPE, this.log.design(id) ?? "", {
        "Velarium-Design": String(job.design),
      });
    if (what === "news" && method === "GET") return this.news(job, url.searchParams, device, response);
    if (what === "entries" && method === "POST") return this.takeEntries(job, request, response);
    throw new Refused(404, "There is nothing here.");
  }

  private async takeDesign(
    id: string,
    device: string,
    request: IncomingMessage,
    response: ServerResponse,
  ): Promise<void> {
    if (device !== "desk")
      throw new Refused(403, "The design of a shared job is changed on the computer that shares it.");
    if (this.log.job(id)?.from === "file")
      throw new Refused(409, "This job is shared from a file: change the file and share it again.");
    const bytes = await bytesOf(request, MAX_JOB_BYTES);
    const { job } = readJob(bytes);
    if (job.id !== id) throw new Refused(422, "This is another job than it is shared as.");
    const shared = this.log.share({ id, title: job.title, from: "desk" }, bytes.toString("utf8"), Date.now());
    send(response, 200, JSON_TYPE, JSON.stringify(shared));
    this.wake();
  }

  private async takeEntries(
    job: SharedJob,
    request: IncomingMessage,
    response: ServerResponse,
  ): Promise<void> {
    const { texts, fault } = entriesOf(await bodyOf(request, MOST_ENTRY_BYTES));
    if (fault !== null) throw new Refused(422, `Not taken: ${fault}`);
    if (job.at + texts.length > MOST_ENTRIES)
      throw new Refused(
        422,
        `The record would have more than ${MOST_ENTRIES.toLocaleString("en")} entries, which no job has.`,
      );
    const at = this.log.append(job.id, texts);
    send(response, 200, JSON_TYPE, JSON.stringify({ at }));
    if (at > job.at) this.wake();
  }

  /** Tells what a device has not heard yet, as soon as there is any. */
  private async news(
    { id }: SharedJob,
    heard: URLSearchParams,
    device: string,
    response: ServerResponse,
  ): Promise<void> {
    if (this.waiting.size >= MOST_WAITING) throw new Refused(503, "Too many devices wait here at once.");
    const answered = this.presence.arrives(device);
    response.once("close", answered);
    const others = (): number => this.presence.devices - 1;
    const from = (): number => {
      const asked = Number(heard.get("from") ?? 0);
      const known = heard.get("log") === this.log.id && asked >= 0 && asked <= this.log.job(id)!.at;
      return known ? Math.trunc(asked) : 0;
    };
    const isNews = (): boolean => {
      const job = this.log.job(id)!;
      return (
        heard.get("log") !== this.log.id ||
        String(from()) !== heard.get("from") ||
        from() < job.at ||
        String(job.design) !== heard.get("design") ||
        String(others()) !== heard.get("others")
      );
    };
    const until = Date.now() + WAIT_MS;
    while (!isNews() && Date.now() < until && !response.destroyed)
      await this.woken(until - Date.now(), response);
    if (response.destroyed) return;
    const start = from();
    const job = this.log.job(id)!;
    const entries = this.log.after(id, start, MOST_CHARACTERS);
    const { design } = job;
    const facts = {
      log: this.log.id,
      start,
      from: start + entries.length,
      of: job.at,
      design,
      others: others(),
    };
    // the entries are JSON already
    send(response, 200, JSON_TYPE, `${JSON.stringify(facts).slice(0, -1)},"entries":[${entries.join(",")}]}`);
  }

  private woken(ms: number, response: ServerResponse): Promise<void> {
    return new Promise((done) => {
      const end = (): void => {
        clearTimeout(timer);
        this.waiting.delete(end);
        response.off("close", end);
        done();
      };
      const timer = setTimeout(end, ms);
      this.waiting.add(end);
      response.once("close", end);
    });
  }

  private wake(): void {
    for (const end of [...this.waiting]) end();
  }

  private refuse(error: unknown, outside: boolean, request: IncomingMessage, response: ServerResponse): void {
    if (response.headersSent || response.destroyed) return void response.destroy();
    const { status, message, headers } = this.inWords(error);
    // what is still coming in is not wanted
    const closing = { ...headers, ...(request.complete ? {} : { Connection: "close" }) };
    if (outside && status === 403 && isPage(request)) send(response, status, HTML, GATE_PAGE, closing);
    else send(response, status, JSON_TYPE, JSON.stringify({ words: message }), closing);
  }

  private inWords(error: unknown): Refused {
    if (error instanceof Refused) return error;
    if (error instanceof JobFaults)
      return new Refused(
        422,
        `This is not a job that can be shared: ${error.faults[0]?.path} ${error.faults[0]?.got}.`,
      );
    if (error instanceof DiskRefuses) {
      this.failed(
        `The disk takes nothing more (${error.message}). Free some room: what devices did waits on them.`,
      );
      return new Refused(507, NO_ROOM);
    }
    this.failed(`A request failed: ${String(error)}`);
    return new Refused(
      500,
      "The computer that shares this job has a fault. What you did stays on this device.",
    );
  }
}

const HTML = "text/html; charset=utf-8";
const SCRIPT = "text/javascript; charset=utf-8";
const STYLE = "text/css; charset=utf-8";
const JSON_TYPE = "application/json; charset=utf-8";

function send(
  response: ServerResponse,
  status: number,
  type: string,
  body: string,
  headers: Record<string, string> = {},
): void {
  response.writeHead(status, {
    "Content-Type": type,
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    ...headers,
  });
  response.end(body);
}

/** The studio on this computer: it needs no code, whoever sits here can read the disk anyway. */
function isDesk({ socket, headers }: IncomingMessage): boolean {
  const local = /^(::1|(::ffff:)?127\.)/.test(socket.remoteAddress ?? "");
  return local && /^(localhost|127\.0\.0\.1|\[::1\])(:\d+)?$/.test(headers.host ?? "");
}

/** A person going to an address, not a script asking. */
const isPage = ({ method, headers }: IncomingMessage): boolean =>
  method === "GET" && (headers.accept ?? "").includes("text/html");

/** Of a part of an address; "" for what can't be an id. */
function decoded(part: string): string {
  try {
    const id = decodeURIComponent(part);
    return id.length <= 64 ? id : "";
  } catch {
    return "";
  }
}

async function bytesOf(request: IncomingMessage, most: number): Promise<Buffer> {
  if (!/^application\/json\b/.test(request.headers["content-type"] ?? ""))
    throw new Refused(415, "Only JSON is taken here.");
  const tooLarge = new Refused(413, `More than ${Math.ceil(most / 1024)} kB at once is not taken.`);
  if (Number(request.headers["content-length"] ?? 0) > most) throw tooLarge;
  const chunks: Buffer[] = [];
  let bytes = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    bytes += chunk.length;
    if (bytes > most) throw tooLarge;
    chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}

async function bodyOf(request: IncomingMessage, most: number): Promise<unknown> {
  const text = (await bytesOf(request, most)).toString("utf8");
  try {
    const body: unknown = JSON.parse(text);
    if (typeof body === "object" && body !== null) return body;
  } catch {
    // said below
  }
  throw new Refused(400, "This is not whole: it is no JSON.");
}
