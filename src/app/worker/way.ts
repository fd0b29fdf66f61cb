import { sharerBy } from "../../work/shareOut.ts";
import type { Tools } from "../../work/stage.ts";
import { Work } from "../../work/work.ts";
import { compactCatalog, deepCatalog } from "./catalogFetch.ts";
import { sheetFonts } from "./fonts.ts";
import { browserSolver } from "./solverLoad.ts";

/** Six nights of five stages: a change of seat or dimmer settles nothing anew. */
const KEPT = 30;

/** What the way needs of a browser's worker. */
export const BROWSER: Tools = {
  catalog: (deep) => (deep ? deepCatalog() : compactCatalog()),
  sharer: sharerBy(browserSolver),
  fonts: sheetFonts,
};

/** The way, as this worker goes it. */
export const work = new Work(BROWSER, KEPT);
