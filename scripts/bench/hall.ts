import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { writeJob } from "../../src/job/write.ts";
import type { BenchLine } from "./measure.ts";
import { benchJob } from "./pattern.ts";

/** Says at its end how much memory the process had at most, and how long its processors worked. */
const TELL =
  'process.on("exit",()=>{const u=process.resourceUsage();console.error(`used ${u.maxRSS} ${(u.userCPUTime+u.systemCPUTime)/1e6}`)})';

/** The largest hall that the numbers speak of, with every sheet of it: the command as a person starts it. */
export function benchHall(): BenchLine[] {
  const folder = mkdtempSync(join(tmpdir(), "velarium-hall-"));
  try {
    return [3000, 750].map((tiles) => {
      const job = join(folder, `${tiles}.velarium.json`);
      writeFileSync(job, writeJob(benchJob(60, tiles / 60, (tiles * 100) / 3)));
      const out = join(folder, String(tiles));
      const start = performance.now();
      const args = ["--import", `data:text/javascript,${encodeURIComponent(TELL)}`, "scripts/velarium.js"];
      const { status, stderr } = spawnSync(process.execPath, [...args, "plan", job, "--out", out], {
        encoding: "utf8",
      });
      if (status !== 0) throw new Error(stderr);
      const seconds = (performance.now() - start) / 1000;
      const [, kilobytes, worked] = /used (\d+) ([\d.]+)/.exec(stderr) ?? [];
      const files = readdirSync(out, { recursive: true }).length;
      return {
        what: `${tiles} tiles and ${(tiles * 100) / 3} strands: plan with all its sheets, ${files} files`,
        measured: `${seconds.toFixed(0)} s (processors ${Number(worked).toFixed(0)} s), ${(Number(kilobytes) / 1024).toFixed(0)} MB at most`,
        goal: tiles === 3000 ? "≤ 60 s, ≤ 1 GB" : "",
        reference: "the other line: a quarter of the tiles",
      };
    });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
