import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readlinkSync, rmSync, writeFileSync } from "node:fs";
import { createServer, get, request, type IncomingMessage, type Server } from "node:http";
import { hostname, tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { HEADERS } from "../../scripts/app/policy.ts";
import { listen, staticServer } from "../../scripts/app/server.ts";

const folder = mkdtempSync(join(tmpdir(), "velarium-served-"));
let server: Server;
let url: string;
beforeAll(async () => {
  mkdirSync(join(folder, "catalog"));
  writeFileSync(join(folder, "index.html"), "<!doctype html>");
  writeFileSync(join(folder, "catalog/large.bin"), new Uint8Array(8_000_000));
  server = staticServer(folder);
  url = await listen(server, 0);
});
afterAll(async () => {
  server.closeAllConnections();
  await new Promise((done) => server.close(done));
  rmSync(folder, { recursive: true, force: true });
});

const ask = (host: string): Promise<number | undefined> =>
  new Promise((done, fail) =>
    request(url, { headers: { host } }, (response) => {
      response.resume();
      done(response.statusCode);
    })
      .on("error", fail)
      .end(),
  );

/** Files that this process has open below the folder. */
const openFiles = (): number => {
  const links = readdirSync("/proc/self/fd");
  return links.filter((fd) => {
    try {
      return readlinkSync(`/proc/self/fd/${fd}`).startsWith(folder);
    } catch {
      return false;
    }
  }).length;
};

describe("the server of the studio", () => {
  test("closes the file of every download that is broken off", async () => {
    for (let i = 0; i < 300; i++) {
      await new Promise<void>((done, fail) => {
        const asked = get(`${url}catalog/large.bin`, (response: IncomingMessage) => {
          response.once("data", () => asked.destroy());
          response.once("close", () => done());
          response.on("error", () => undefined);
        }).on("error", (error: NodeJS.ErrnoException) =>
          error.code === "ECONNRESET" ? done() : fail(error),
        );
      });
    }
    await expect.poll(openFiles, { timeout: 10_000 }).toBe(0);
    console.log("300 downloads broken off, 0 files left open");
  });

  test("answers to this machine's names and to addresses, not to a name that somebody made lead here", async () => {
    for (const host of ["localhost:4600", "127.0.0.1", "[::1]:4600", "192.168.1.20:4600", hostname()])
      expect(await ask(host), host).toBe(200);
    for (const host of ["foreign.test", "foreign.test:4600", "localhost.foreign.test"])
      expect(await ask(host), host).toBe(421);
  });

  test("sends every header of the policy", async () => {
    const response = await fetch(url);
    for (const [name, value] of Object.entries(HEADERS)) expect(response.headers.get(name)).toBe(value);
  });
});

describe("npm start, on a port that is taken", () => {
  const start = (port: string, ...more: string[]): Promise<{ code: number | null; words: string }> =>
    new Promise((done) => {
      const child = spawn(process.execPath, ["--import", "tsx", "scripts/start.ts", "--port", port, ...more]);
      let words = "";
      child.stdout.on("data", (bytes: Buffer) => (words += bytes.toString()));
      child.stderr.on("data", (bytes: Buffer) => (words += bytes.toString()));
      child.on("close", (code) => done({ code, words }));
    });

  test("with an option that there is not: a sentence, no stack", async () => {
    const { code, words } = await start(new URL(url).port, "--nonsense");
    expect(words).toBe("error: unknown option '--nonsense'\n(npm start -- --help explains)\n");
    expect(code).toBe(2);
  });

  test("by a studio: tells who serves it, and its address", async () => {
    const { code, words } = await start(new URL(url).port);
    expect(words).toContain(`${url}  (it is already served by Velarium, process ${process.pid})`);
    expect(code).toBe(0);
  });

  test("by something else: opens no other address with an empty list of jobs", async () => {
    const other = createServer((_, response) => response.end("something else"));
    await new Promise<void>((done) => other.listen(0, "127.0.0.1", done));
    const { port } = other.address() as { port: number };
    const { code, words } = await start(String(port));
    expect(words).toMatch(/taken by another program.*--port/s);
    expect(code).toBe(1);
    other.closeAllConnections();
    other.close();
  });
});
