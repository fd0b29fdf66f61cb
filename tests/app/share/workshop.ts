import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import type { Server } from "node:http";
import { request } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { listen, staticServer } from "../../../scripts/app/server.ts";
import { ShareLog } from "../../../scripts/app/share/log.ts";
import { Share } from "../../../scripts/app/share/share.ts";
import { sampleJob } from "../../job/sample.ts";

export const JOB_ID = "0123456789abcdef";
export const JOB_TEXT = JSON.stringify({ ...sampleJob(), id: JOB_ID });

interface Answer {
  status: number;
  headers: Record<string, string | string[] | undefined>;
  text: string;
  /** What the body says, where it is JSON. */
  body: Record<string, unknown>;
}

/** The server of a shared job, and somebody in its network who asks. */
export class TestWorkshop {
  readonly folder = mkdtempSync(join(tmpdir(), "velarium-share-"));
  readonly said: string[] = [];
  log!: ShareLog;
  share!: Share;
  url = "";
  private server!: Server;
  private at: string;

  constructor(at = "log") {
    this.at = at;
  }

  useLog(at: string): void {
    this.at = at;
  }

  /** `sums`: devices that are let in without a code. */
  async open(studio = this.emptyStudio(), port = 0, sums: string[] = []): Promise<this> {
    this.log = new ShareLog(this.at.startsWith("/") ? this.at : join(this.folder, this.at));
    for (const sum of sums) this.log.addDevice(sum, 0);
    this.share = new Share(
      this.log,
      () => this.said.push("joined"),
      (words) => this.said.push(words),
    );
    this.server = staticServer(studio, "localhost", (asked, answer) => this.share.answer(asked, answer));
    this.url = await listen(this.server, port);
    this.share.address = this.url.replace(/\/$/, "");
    return this;
  }

  async close(): Promise<void> {
    this.server.closeAllConnections();
    await new Promise((done) => this.server.close(done));
    await this.log.close();
  }

  async remove(): Promise<void> {
    await this.close();
    rmSync(this.folder, { recursive: true, force: true });
  }

  private emptyStudio(): string {
    const studio = join(this.folder, "studio");
    mkdirSync(studio, { recursive: true });
    writeFileSync(join(studio, "index.html"), "<!doctype html><title>the studio</title>");
    return studio;
  }

  /** A request as it comes from another device, unless `headers` say otherwise. */
  ask(
    path: string,
    { method = "GET", body, headers = {} }: { method?: string; body?: string; headers?: object } = {},
  ): Promise<Answer> {
    const { port } = new URL(this.url);
    const all = { host: `192.168.1.20:${port}`, "content-type": "application/json", ...headers };
    return new Promise((done, fail) => {
      // a connection of its own: the server may have been started again meanwhile
      const asked = request({ port, path, method, headers: all, agent: false }, (response) => {
        let text = "";
        response.setEncoding("utf8").on("data", (part: string) => (text += part));
        response.on("end", () =>
          done({ status: response.statusCode!, headers: response.headers, text, body: parsed(text) }),
        );
      });
      asked.on("error", fail);
      asked.end(body);
    });
  }

  /** The same, from the studio on the computer that shares. */
  desk(path: string, how: Parameters<TestWorkshop["ask"]>[1] = {}): Promise<Answer> {
    const headers = { host: `localhost:${new URL(this.url).port}`, ...how.headers };
    return this.ask(path, { ...how, headers });
  }

  /** Of the address that is shown now. */
  code(): string {
    return new URL(this.share.joinAddress()!).hash.slice(1);
  }

  /** A device scans the code; gives what it sends from then on. */
  async joined(): Promise<{ cookie: string }> {
    const code = this.code();
    const { headers } = await this.ask("/share/join", { method: "POST", body: JSON.stringify({ code }) });
    return { cookie: String(headers["set-cookie"]).split(";")[0]! };
  }

  shareJob(design = JOB_TEXT): Promise<Answer> {
    return this.desk(`/share/jobs/${JOB_ID}/design`, { method: "PUT", body: design });
  }
}

function parsed(text: string): Record<string, unknown> {
  try {
    return JSON.parse(text) as Record<string, unknown>;
  } catch {
    return {};
  }
}
