import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { build } from "esbuild";
import fc from "fast-check";
import { afterAll, beforeAll, expect, onTestFinished, test } from "vitest";
import { ShareLog } from "../../../scripts/app/share/log.ts";
import { entry } from "./entries.ts";
import { JOB_TEXT, JOB_ID, TestWorkshop } from "./workshop.ts";

/** Frozen; a long run by hand takes more: KILLS=200. */
const SEED = 20_261_127;
const KILLS = Number(process.env["KILLS"] ?? 20);

const folder = mkdtempSync(join(tmpdir(), "velarium-killed-"));
const small = join(folder, "small");
mkdirSync(small);
const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=1m", "tmpfs", small]).status === 0;
if (!mounted) console.warn("Skipped: no file system can be mounted here, so none can be filled up.");
afterAll(() => {
  if (mounted) spawnSync("umount", [small]);
  for (const path of [folder, server]) rmSync(path, { recursive: true, force: true });
});

/** The server as JavaScript: it starts as quickly as it is killed. */
const server = join("build", "test", `serve-${process.pid}.js`);
beforeAll(() =>
  build({
    entryPoints: ["tests/app/share/serve.ts"],
    outfile: server,
    bundle: true,
    packages: "external",
    platform: "node",
    format: "esm",
    logLevel: "silent",
  }),
);

async function served(kept: string): Promise<{ child: ChildProcess; url: string }> {
  const child = spawn(process.execPath, [server, kept, folder]);
  let words = "";
  child.stderr.on("data", (bytes: Buffer) => (words += bytes.toString()));
  const [said] = (await Promise.race([once(child.stdout, "data"), once(child, "close")])) as [unknown];
  if (!Buffer.isBuffer(said)) throw new Error(`the server ended: ${words}`);
  return { child, url: said.toString().trim() };
}

const put = (method: string, body: string): RequestInit => ({
  method,
  body,
  headers: { "content-type": "application/json" },
});

test(
  "the server, killed at any moment of writing: all that it answered is there, each once",
  async () => {
    const kept = join(folder, "log");
    const moments = fc.sample(fc.integer({ min: 0, max: 400 }), { seed: SEED, numRuns: KILLS });
    const answered = new Set<string>();
    let made = 0;
    for (const killAfterMs of moments) {
      const { child, url } = await served(kept);
      const shared = await fetch(`${url}share/jobs/${JOB_ID}/design`, put("PUT", JOB_TEXT));
      expect(shared.status).toBe(200);
      const killed = once(child, "close");
      setTimeout(() => child.kill("SIGKILL"), killAfterMs);
      // three devices write as quickly as they are answered, entry by entry and ten at a time
      const write = async (atOnce: number): Promise<void> => {
        for (;;) {
          const entries = Array.from({ length: atOnce }, () => entry(++made));
          const body = JSON.stringify({ entries });
          const response = await fetch(`${url}share/jobs/${JOB_ID}/entries`, put("POST", body)).catch(
            () => null,
          );
          // too quick for one device: waits like one
          if (response?.status === 429) await new Promise((done) => setTimeout(done, 20));
          else if (!response?.ok) return;
          else for (const { id } of entries) answered.add(String(id));
        }
      };
      await Promise.all([write(1), write(1), write(10)]);
      await killed;
    }
    const log = new ShareLog(kept);
    const found = log.after(JOB_ID, 0, Infinity).map((text) => (JSON.parse(text) as { id: string }).id);
    expect(new Set(found).size).toBe(found.length);
    expect(found.length).toBe(log.job(JOB_ID)!.at);
    expect([...answered].filter((id) => !new Set(found).has(id))).toEqual([]);
    expect(answered.size).toBeGreaterThan(KILLS);
    await log.close();
    console.log(`${KILLS} kills, ${answered.size} entries answered, ${found.length} kept, 0 lost`);
  },
  30_000 + KILLS * 10_000,
);

test.skipIf(!mounted)(
  "a full disk: said in words, nothing lost, and on it goes when there is room",
  async () => {
    const filler = join(small, "filler");
    writeFileSync(filler, Buffer.alloc(300 * 1024));
    const at = await new TestWorkshop(join(small, "log")).open();
    onTestFinished(() => at.remove());
    await at.shareJob();
    const post = (n: number) =>
      at.desk(`/share/jobs/${JOB_ID}/entries`, {
        method: "POST",
        body: JSON.stringify({ entries: Array.from({ length: 100 }, (_, i) => entry(n * 100 + i + 1)) }),
      });
    let answered = 0;
    let answer = await post(0);
    for (; answer.status === 200; answer = await post(answered)) answered++;
    expect(answer.status).toBe(507);
    expect(answer.body["words"]).toContain("Nothing is lost");
    expect(at.said.at(-1)).toMatch(/^The disk takes nothing more/);
    expect(at.log.after(JOB_ID, 0, Infinity)).toHaveLength(answered * 100);
    // it opens on the full disk too
    await at.close();
    await at.open();
    expect(at.log.after(JOB_ID, 0, Infinity)).toHaveLength(answered * 100);
    rmSync(filler);
    expect((await post(answered)).status).toBe(200);
    expect(at.log.after(JOB_ID, 0, Infinity)).toHaveLength((answered + 1) * 100);
    console.log(`full after ${answered * 100} entries; all of them there, and 100 more when there was room`);
  },
);
