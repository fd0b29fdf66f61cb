import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { planJob } from "../../src/work/planJob.ts";
import { holesCsv, lostCsv } from "../../src/sheets/tables.ts";
import { medianMs, type BenchLine } from "./measure.ts";
import { likenessRooms } from "./rooms.ts";

/** What likeness.py prints. */
interface Measured {
  edge: number;
  edgeNoise: number;
  rows: number;
  edges: number;
  chanceRows: number;
  neighbour: number;
  move: number;
  bright: number | null;
  straight: number | null;
  ten: number;
  ofSky: number;
}

/** Four rooms, five nights each: how like the sky their ceilings are, measured by a script of its own. */
export async function benchLikeness(): Promise<BenchLine[]> {
  const catalog = await loadCatalog();
  const folder = mkdtempSync(join(tmpdir(), "velarium-likeness-"));
  try {
    return likenessRooms().map(({ name, job }) => {
      const nights = job.sky.options.map(({ id }) => {
        const plan = planJob({ ...job, sky: { ...job.sky, chosen: id } }, catalog);
        const own = join(folder, id);
        mkdirSync(own, { recursive: true });
        writeFileSync(join(own, "holes.csv"), holesCsv(plan));
        writeFileSync(join(own, "lost.csv"), lostCsv(plan));
        const rings = plan.ceiling.tiles
          .filter(({ usable }) => usable.length > 0)
          .map(({ name: tile, usable }) => [
            tile,
            usable.map((ring) => ring.map(({ x, y }) => [x / 1000, y / 1000])),
          ]);
        writeFileSync(join(own, "usable.json"), JSON.stringify(Object.fromEntries(rings)));
        return {
          ...measured(own, job.pattern.spacingMm),
          step: Number(plan.pattern.fidelity.stepErrorMag.toFixed(2)),
        };
      });
      const ms = medianMs(5, 2, () => planJob(job, catalog));
      const each = (key: keyof (typeof nights)[number]): string =>
        nights.map((night) => night[key] ?? "-").join(" ");
      return {
        what: `${name}: ${nights.length} nights (each number: one night)`,
        measured:
          `edge excess ${nights.map(({ edge, edgeNoise }) => `${edge}±${edgeNoise}`).join(" ")}; ` +
          `rows ${each("rows")} of ${nights[0]!.edges} edges; nearest neighbour ${each("neighbour")}; ` +
          `mean move ${each("move")} mm, to V 3 ${each("bright")} mm (straight to the nearest usable point, as before easing: ${each("straight")}); ` +
          `of the ten brightest ${each("ten")}, with those that lie under plain tiles and fittings ${each("ofSky")}; ` +
          `light step off ${each("step")} mag; job to holes ${ms.toFixed(0)} ms`,
        goal: "edge ≤ 1.8; rows ≤ 1.5 times chance; 0.93 to 1.08; move ≤ 4 mm, to V 3 ≤ 8 mm; ≥ 9 of ten; ≤ 0.25 mag; ≤ 150 ms",
        reference: `chance points in the same tiles (numpy, scipy): edge 1±noise, rows ${each("chanceRows")}, nearest neighbour 1`,
      };
    });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function measured(folder: string, spacingMm: number): Measured {
  const script = new URL("likeness.py", import.meta.url).pathname;
  const { status, stdout, stderr } = spawnSync("python3", [script, folder, String(spacingMm)], {
    encoding: "utf8",
  });
  if (status !== 0) throw new Error(`likeness.py needs python3 with numpy and scipy:\n${stderr}`);
  return JSON.parse(stdout) as Measured;
}
