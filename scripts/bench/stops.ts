import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readdirSync, readFileSync, rmSync, watch, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, dirname, join } from "node:path";
import { writeJob } from "../../src/job/write.ts";
import { chance, photograph } from "../../tests/photo/darkroom.ts";
import { demoPlan } from "../../tests/photo/demo.ts";
import { hang, take } from "../../tests/photo/truth.ts";
import type { BenchLine } from "./measure.ts";
import { benchJob } from "./pattern.ts";

/** Moments for each command. */
const STOPS = Number(process.env["STOPS"] ?? 2);
/** Of the hall they fall within so many ms of a command's processor time, or of its writing. */
const WITHIN_MS = Number(process.env["STOPS_WITHIN_MS"] ?? 20_000);
/** Commands that are tried on the hall too: those that write most, and those that compare most. */
const OF_HALL = ["plan", "sheets", "pack", "board", "photo"];
/** Commands that write while they draw; the others write at the end, in a moment. */
const STREAMED = ["plan", "sheets"];
/** Commands and jobs, all by default: STOPS_OF="plan hall". */
const OF = (process.env["STOPS_OF"] ?? "").split(" ").filter(Boolean);
const SEED = 20_261_126;
const TICK_MS = 10;
/** Says at its end how long its processors worked. */
const TELL =
  'process.on("exit",()=>{const u=process.cpuUsage();console.error(`worked ${(u.user+u.system)/1000}`)})';
const PRELOAD = ["--import", `data:text/javascript,${encodeURIComponent(TELL)}`, "scripts/velarium.js"];

/** Commands told to stop at moments by chance: how long their processors go on working, which a loaded machine does not lengthen. */
export async function benchStops(): Promise<BenchLine[]> {
  const folder = mkdtempSync(join(tmpdir(), "velarium-stops-"));
  try {
    const picture = join(folder, "dark.jpg");
    writeFileSync(picture, await darkPicture());
    const hall = join(folder, "hall.velarium.json");
    const job = benchJob(60, 50, 100_000);
    const [night] = job.sky.options;
    // a board shows two nights at least
    job.sky.options.push({ ...night!, id: "second", title: "second" });
    writeFileSync(hall, writeJob(job));
    const lines: BenchLine[] = [];
    for (const [name, job] of [
      ["demo", "demo/harbour-dining-room.velarium.json"],
      ["hall", hall],
    ] as const)
      for (const [command, args] of commandsOn(job, picture))
        if (
          OF.every((word) => word === name || word === command) &&
          (name === "demo" || OF_HALL.includes(command))
        ) {
          const [what, out] = [`${command} of the ${name}`, join(folder, `${name}-${command}`)];
          lines.push(
            await stopsOf(what, args, {
              out,
              withinMs: name === "demo" ? await wholeMs(what, args(out)) : WITHIN_MS,
              streamed: STREAMED.includes(command),
            }),
          );
        }
    return lines;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const commandsOn = (job: string, picture: string): [string, (to: string) => string[]][] => [
  ["plan", (to) => ["plan", job, "--out", to]],
  ["pack", (to) => ["pack", job, "--out", to]],
  ["sheets", (to) => ["sheets", job, "--out", to]],
  ["bundles", (to) => ["bundles", job, "--out", to]],
  ["order", (to) => ["order", job, "--out", to]],
  ["skysheet", (to) => ["skysheet", job, "--out", `${to}.pdf`]],
  ["scene", (to) => ["scene", job, "--out", `${to}.png`]],
  ["board", (to) => ["board", job, "--out", to]],
  ["nights", () => ["nights", job, "--date", "2031-02-14"]],
  ["photo", (to) => ["photo", job, picture, "--out", to]],
];

async function darkPicture(): Promise<Buffer> {
  const { holes } = await demoPlan();
  const random = chance(SEED);
  const { dots } = hang(holes, random);
  const { pose, strays } = take(random, holes);
  return photograph(dots, strays, pose);
}

/** How long the processors work for the whole of a command. */
async function wholeMs(what: string, args: string[]): Promise<number> {
  const { code, told, workedMs } = await run(args, null);
  // 1: done as far as it could be, as where no engine is named
  if (code !== 0 && code !== 1) throw new Error(`${what}: ${told}`);
  return workedMs;
}

/** So many runs that are told to stop: by turns at any moment, and after the first file or folder is begun. */
async function stopsOf(
  what: string,
  args: (to: string) => string[],
  { out, withinMs, streamed }: { out: string; withinMs: number; streamed: boolean },
): Promise<BenchLine> {
  const random = chance(SEED);
  const after: number[] = [];
  let writing = 0;
  for (let k = 0; k < STOPS; k++) {
    const [to, share] = [`${out}-${k}`, random()];
    // by processor time, so that load does not move the moment
    const stop: Stop =
      k % 2 === 0
        ? { onceWriting: null, atMs: share * withinMs, signal: "SIGINT" }
        : { onceWriting: to, atMs: streamed ? (share * withinMs) / 2 : 0, signal: "SIGTERM" };
    const stopped = await run(args(to), stop);
    if (stopped.code === 130) writing++;
    if (stopped.afterMs !== null) after.push(stopped.afterMs);
  }
  return {
    what: `${what}: stopped at ${STOPS} moments by chance, half of them while it writes`,
    measured: `${Math.max(0, ...after).toFixed(0)} ms of its processors at most`,
    goal: "≤ 500 ms",
    reference: `${after.length} still at work, ${writing} of them writing; moments within ${withinMs.toFixed(0)} ms`,
  };
}

interface Stop {
  /** The file or folder that has to be begun first, if any. */
  onceWriting: string | null;
  /** Processor time from the start, or from that moment, to the signal. */
  atMs: number;
  signal: NodeJS.Signals;
}

interface Ran {
  workedMs: number;
  code: number | null;
  told: string;
  /** Processor time from the signal to the end; null where it ended before. */
  afterMs: number | null;
}

async function run(args: string[], stop: Stop | null): Promise<Ran> {
  const begun = stop?.onceWriting ? untilBegun(stop.onceWriting) : null;
  const child = spawn(process.execPath, [...PRELOAD, ...args], { stdio: ["ignore", "ignore", "pipe"] });
  let told = "";
  child.stderr.on("data", (bytes: Buffer) => (told += bytes.toString()));
  const closed = once(child, "close") as Promise<[number | null]>;
  if (begun) await Promise.race([begun.seen, closed]);
  begun?.end();
  const from = begun ? (workedMs(child.pid!) ?? 0) : 0;
  let atSignal: number | null = null;
  while (stop && atSignal === null && child.exitCode === null) {
    const worked = workedMs(child.pid!);
    if (worked !== null && worked - from >= stop.atMs) {
      atSignal = worked;
      child.kill(stop.signal);
    } else await new Promise((done) => setTimeout(done, TICK_MS));
  }
  const [code] = await closed;
  const end = /worked ([\d.]+)/.exec(told);
  // one that the system ended says nothing more, and did nothing more
  const worked = end ? Number(end[1]) : (atSignal ?? NaN);
  return { workedMs: worked, code, told, afterMs: atSignal === null ? null : worked - atSignal };
}

/** Looks out for what a command writes beside the name that it will have. */
function untilBegun(path: string): { seen: Promise<void>; end: () => void } {
  const [folder, name] = [dirname(path), basename(path)];
  const watched = new AbortController();
  const seen = new Promise<void>((done) => {
    watch(folder, { signal: watched.signal }, () => {
      if (readdirSync(folder).some((entry) => entry.includes(name))) done();
    });
  });
  return { seen, end: () => watched.abort() };
}

/** What a process has worked so far, from its line in /proc; null where it is gone. */
function workedMs(pid: number): number | null {
  try {
    const fields = readFileSync(`/proc/${pid}/stat`, "utf8")
      .replace(/^.*\) /, "")
      .split(" ");
    return (Number(fields[11]) + Number(fields[12])) * TICK_MS;
  } catch {
    return null;
  }
}
