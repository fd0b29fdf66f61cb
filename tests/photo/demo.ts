import { readFileSync } from "node:fs";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { darkTestInput } from "../../src/photo/input.ts";
import { planJob } from "../../src/work/planJob.ts";
import { inFrame, seen, type Dot, type Pose } from "./darkroom.ts";
import { normal } from "./darkroom.ts";

/** The demo, planned: 1,680 strands. */
export async function demoPlan() {
  const { job } = checkJob(readFileSync("demo/harbour-dining-room.velarium.json"));
  const plan = planJob(job, await loadCatalog({ deep: false }));
  return { plan, holes: plan.pattern.holes, input: darkTestInput(plan, null, { side: "face", tile: null }) };
}

/** What a finder of spots would see of these dots: for tests of the search alone, without a picture's pixels. */
export function spotsSeen(dots: readonly Dot[], pose: Pose, random: () => number, strays = 20) {
  const spot = (xPx: number, yPx: number, flux: number) => ({
    xPx,
    yPx,
    flux,
    sigmaPx: 1.4,
    significance: 50,
    clipped: false,
    elongation: 1,
  });
  const lit = dots.flatMap((d) => {
    const at = seen(pose, d.xMm, d.yMm);
    if (!at || !inFrame(pose, at)) return [];
    const flux = (d.light * at.axisCosine ** 4) / at.distanceMm ** 2;
    return [spot(at.xPx + 0.2 * normal(random), at.yPx + 0.2 * normal(random), flux)];
  });
  const by = Array.from({ length: strays }, () =>
    spot(random() * pose.widthPx, random() * pose.heightPx, 1e-7),
  );
  const spots = [...lit, ...by].sort((a, b) => b.flux - a.flux);
  const light = { widthPx: pose.widthPx, heightPx: pose.heightPx, light: new Uint16Array(0) };
  const nothing = { cell: 64, columns: 1, rows: 1, level: new Float32Array(1), noise: new Float32Array(1) };
  return {
    light,
    background: nothing,
    spots,
    wide: [],
    sigmaPx: 1.4,
    backgroundAt: () => ({ level: 0, noise: 1 }),
  };
}
