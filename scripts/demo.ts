// npm run demo: plans the invented dining room of demo/ into out/demo and says what to look at.
import { existsSync } from "node:fs";
import { main } from "../src/cli/program.ts";

const JOB = "demo/harbour-dining-room.velarium.json";
const OUT = "out/demo";

await main(["plan", JOB, "--out", OUT, "--replace"]);

if (process.exitCode === 0) {
  const sights: [string, string][] = [
    ["plan.svg", "the whole ceiling, from above"],
    [
      "sheets/templates-back.pdf",
      "the full-size templates to punch from the back: print at 100 %, measure the bars",
    ],
    ["sheets/templates-face.pdf", "the same seen from below, for checking"],
    ["sheets/svg/D4-back.svg", "the tile where Vega sits; sheets/dxf has the same for a cutter"],
    ["sheets/svg/D5-back.svg", "the tile with the smoke detector, and a star pinned beside it"],
    ["sheets/svg/A1-back.svg", "a corner tile, cut on two sides"],
    ["holes.csv", "every hole, in mm"],
    ["lost.csv", "every star given up, and why"],
    ["plan.json", "counts, fidelity, warnings, cautions"],
  ];
  console.log(`\nThe whole pack is in ${OUT}. Look at:`);
  for (const [path, what] of sights) {
    if (!existsSync(`${OUT}/${path}`)) throw new Error(`the demo promises ${path}, and it is not there`);
    console.log(`  ${OUT}/${path}\n      ${what}`);
  }
}
