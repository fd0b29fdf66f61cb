import { readFileSync } from "node:fs";
import { checkJob } from "../../src/check.ts";
import { searchNights } from "../../src/choose/search.ts";
import type { Wish } from "../../src/choose/wish.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { renderScene } from "../../src/scene/render.ts";
import { prepareScene } from "../../src/scene/scene.ts";
import { seatsOf } from "../../src/scene/seats.ts";
import { planJob } from "../../src/work/planJob.ts";
import { medianMs, medianMsAsync, type BenchLine } from "./measure.ts";
import { benchJob } from "./pattern.ts";

const WIDTH_PX = 1280;
const HEIGHT_PX = 800;
const STRANDS = 5000;

/** Every pixel of a frame through an ordinary gamma, the least that any renderer of whole frames does. */
function plainFrame(linear: Float32Array, out: Uint8ClampedArray): number {
  for (let i = 0, q = 0; i < linear.length; i += 3, q += 4) {
    for (let k = 0; k < 3; k++) out[q + k] = 255 * Math.sqrt(Math.min(1, linear[i + k]!));
    out[q + 3] = 255;
  }
  return out[0]!;
}

/** A twinkling frame of 5,000 strands, a new seat, and a night's search on the demo. */
export async function benchScene(): Promise<BenchLine[]> {
  const catalog = await loadCatalog({ deep: true });
  const job = benchJob(14, 11, STRANDS);
  const plan = planJob(job, catalog);
  const seat = seatsOf(job, plan.ceiling)[1]!;
  const size = { seat, widthPx: WIDTH_PX, heightPx: HEIGHT_PX, samples: 1 };
  const scene = prepareScene(plan, size);
  const out = new Uint8ClampedArray(WIDTH_PX * HEIGHT_PX * 4);
  let timeS = 0;
  const frameMs = medianMs(60, 10, () => renderScene(scene, { timeS: (timeS += 1 / 60), dimmer: 0.5 }, out));
  const plainMs = medianMs(20, 5, () => plainFrame(scene.room, out));
  const seatMs = medianMs(7, 2, () => renderScene(prepareScene(plan, size), { dimmer: 0.5 }, out));
  const compact = await loadCatalog();
  const demo = checkJob(
    readFileSync(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
  ).job;
  const night = demo.sky.options[0]!;
  const wish: Wish = {
    place: night.place,
    zone: "America/Halifax",
    fromLocal: "2029-09-08T12:00",
    toLocal: "2029-09-09T11:45",
    constellations: ["Cyg"],
  };
  const searchMs = await medianMsAsync(3, 1, () => searchNights(demo, compact, wish, planJob));
  const planMs = medianMs(5, 1, () => planJob(demo, compact));
  return [
    {
      what: `a twinkling frame, ${plan.pattern.holes.length} strands, ${WIDTH_PX} x ${HEIGHT_PX}`,
      measured: `${frameMs.toFixed(1)} ms`,
      goal: "≤ 16.7 ms (60 a second)",
      reference: `a plain gamma over every pixel: ${plainMs.toFixed(1)} ms`,
    },
    {
      what: "a new seat, to its first frame",
      measured: `${seatMs.toFixed(0)} ms`,
      goal: "",
      reference: `a plain gamma over every pixel: ${plainMs.toFixed(1)} ms`,
    },
    {
      what: "searching a night on the demo: 17 views, 360 turns, five skies settled",
      measured: `${(searchMs / 1000).toFixed(2)} s`,
      goal: "≤ 2 s",
      reference: `settling one sky: ${planMs.toFixed(0)} ms`,
    },
  ];
}
