import KDBush from "kdbush";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { planJob } from "../../src/work/planJob.ts";
import { medianMs, rssMb } from "./measure.ts";
import type { BenchLine } from "./measure.ts";
import { benchJob } from "./pattern.ts";

const SIZES: [columns: number, rows: number, strands: number, runs: number][] = [
  [6, 5, 1000, 9],
  [10, 10, 3300, 7],
  [20, 15, 10_000, 5],
  [30, 33, 33_000, 3],
  [60, 50, 100_000, 3],
];
const SPACING_UM = 8000;

/** Job to holes from 1,000 to 100,000 strands at one density, and how the time grows. */
export async function benchPlacement(): Promise<BenchLine[]> {
  const catalog = await loadCatalog({ deep: true });
  const rows = SIZES.map(([columns, rows, strands, runs]) => {
    const job = benchJob(columns, rows, strands);
    const plan = planJob(job, catalog);
    const ms = medianMs(runs, strands > 20_000 ? 0 : 2, () => planJob(job, catalog));
    const { holes } = plan.pattern;
    // a library doing less: one static index of the finished holes, one neighbourhood looked up for each
    const indexMs = medianMs(3, 1, () => {
      const index = new KDBush(holes.length);
      for (const hole of holes) index.add(hole.xMm * 1000, hole.yMm * 1000);
      index.finish();
      return holes.reduce((sum, h) => sum + index.within(h.xMm * 1000, h.yMm * 1000, SPACING_UM).length, 0);
    });
    return { columns, rows, strands, ms, indexMs, holes: holes.length };
  });
  const first = rows[0]!;
  const last = rows.at(-1)!;
  const peakMb = Math.max(rssMb(), process.resourceUsage().maxRSS / 1024);
  const exponent = (Math.log(last.ms / first.ms) / Math.log(last.strands / first.strands)).toFixed(2);
  const nLogN = Math.log((last.strands * Math.log(last.strands)) / (first.strands * Math.log(first.strands)));
  const nLogNExponent = (nLogN / Math.log(last.strands / first.strands)).toFixed(2);
  return [
    ...rows.slice(0, -1).map((row) => ({
      what: `${row.strands} strands, ${row.columns * row.rows} tiles`,
      measured: `${row.ms.toFixed(0)} ms`,
      goal: "",
      reference: `kdbush, index and one look-up a hole: ${row.indexMs.toFixed(1)} ms`,
    })),
    {
      what: `${last.strands} strands, ${last.columns * last.rows} tiles (${last.holes} holes)`,
      measured: `${(last.ms / 1000).toFixed(2)} s, ${peakMb.toFixed(0)} MB at most`,
      goal: "≤ 5 s, ≤ 1 GB",
      reference: `kdbush, index and one look-up a hole: ${last.indexMs.toFixed(0)} ms`,
    },
    {
      what: "growth exponent, 1,000 to 100,000 strands",
      measured: exponent,
      goal: `≤ ${nLogNExponent}`,
      reference: `n log n over the same range: ${nLogNExponent}`,
    },
  ];
}
