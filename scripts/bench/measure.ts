/** A line of the table that `npm run bench` prints. */
export interface BenchLine {
  what: string;
  measured: string;
  /** DEVELOPERS.md, "Numbers to hold". */
  goal: string;
  /** The same sort of work done another way, on this machine, in this run. */
  reference: string;
}

/** Median milliseconds of `runs` calls after `warm` calls that don't count. */
export function medianMs(runs: number, warm: number, work: () => unknown): number {
  for (let i = 0; i < warm; i++) sink(work());
  const times = Array.from({ length: runs }, () => {
    const start = performance.now();
    sink(work());
    return performance.now() - start;
  });
  return median(times);
}

export async function medianMsAsync(
  runs: number,
  warm: number,
  work: () => Promise<unknown>,
): Promise<number> {
  const times: number[] = [];
  for (let i = 0; i < runs + warm; i++) {
    const start = performance.now();
    sink(await work());
    if (i >= warm) times.push(performance.now() - start);
  }
  return median(times);
}

function median(values: number[]): number {
  return values.sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;
}

/** A 60 Hz screen. */
const FRAME_MS = 1000 / 60;

/** How evenly frames came: the time between them, and how many missed a frame of the screen. */
export function pacing(intervalsMs: readonly number[]): string {
  const at = (share: number): string => percentile(intervalsMs, share).toFixed(1);
  const late = intervalsMs.filter((ms) => ms > 1.5 * FRAME_MS).length;
  return `p50 ${at(0.5)} ms, p95 ${at(0.95)} ms, ${late} of ${intervalsMs.length} late`;
}

/** The value that so large a share of all stays below; NaN of nothing. */
export function percentile(values: readonly number[], share: number): number {
  return values.toSorted((a, b) => a - b)[Math.floor(share * (values.length - 1))] ?? NaN;
}

let kept: unknown;
/** Keeps a result, so that the work can't be optimised away. */
function sink(value: unknown): void {
  kept = value;
}
export const lastResult = (): unknown => kept;

export const rssMb = (): number => process.memoryUsage.rss() / 2 ** 20;
