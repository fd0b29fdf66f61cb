// npm run demo: plans, packs and prices the invented dining room of demo/ and says what to look at.
import { existsSync } from "node:fs";
import { main } from "../src/cli/program.ts";

const JOB = "demo/harbour-dining-room.velarium.json";
const OUT = "out/demo";
const PACK = "out/demo-pack";
const ORDER = "out/demo-order";

await main(["plan", JOB, "--out", OUT, "--replace"]);
if (process.exitCode === 0) await main(["pack", JOB, "--out", PACK, "--replace"]);
if (process.exitCode === 0) await main(["order", JOB, "--out", ORDER, "--replace"]);

if (process.exitCode === 0) {
  const sights: [string, string][] = [
    [`${OUT}/plan.svg`, "the whole ceiling, from above"],
    [
      `${OUT}/sheets/templates-back.pdf`,
      "the full-size templates to punch from the back: print at 100 %, measure the bars",
    ],
    [`${OUT}/sheets/check-face.pdf`, "each finished tile as seen from below, reduced, for checking"],
    [`${OUT}/sheets/svg/D4-back.svg`, "the tile where Vega sits; sheets/dxf has the same for a cutter"],
    [`${OUT}/sheets/svg/D5-back.svg`, "the tile with the smoke detector, and a star pinned beside it"],
    [`${OUT}/sheets/svg/A1-back.svg`, "a corner tile, cut on two sides"],
    [`${OUT}/holes.csv`, "every hole, in mm"],
    [`${OUT}/lost.csv`, "every star left out or merged, and why"],
    [`${OUT}/plan.json`, "counts, fidelity, warnings, cautions"],
    [`${PACK}/van.pdf`, "from survey to dark test: register, cut plan, bench list, routes, bundles"],
    [`${PACK}/client.pdf`, "map of tiles and engines, before you lift a tile, care, service record"],
    [`${PACK}/labels.pdf`, "both ends of every tail, and the tiles"],
    [`${ORDER}/quote.pdf`, "a quote to send; order.csv is for the shop"],
    [`${ORDER}/cut-plan.svg`, "the fabric on the roll, in true millimetres"],
  ];
  console.log("\nLook at:");
  for (const [path, what] of sights) {
    if (!existsSync(path)) throw new Error(`the demo promises ${path}, and it is not there`);
    console.log(`  ${path}\n      ${what}`);
  }
}
