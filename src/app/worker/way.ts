import { CannotDo, JobFaults } from "../../job/faults.ts";
import { sharerBy } from "../../work/shareOut.ts";
import type { Chosen, Made, Tools } from "../../work/stage.ts";
import { Work } from "../../work/work.ts";
import type { Answer, AskPage } from "./api.ts";
import { compactCatalog, deepCatalog } from "./catalogFetch.ts";
import { sheetFonts } from "./fonts.ts";
import { arrived } from "./packedHoles.ts";

/** Six nights of five stages: a change of seat or dimmer settles nothing anew. */
const KEPT = 30;

/** What the way needs of a browser's worker. A solver is another worker's. */
export const BROWSER: Tools = {
  catalog: (deep) => (deep ? deepCatalog() : compactCatalog()),
  sharer: sharerBy(null),
  fonts: sheetFonts,
};

let page: AskPage | null = null;

/** The page tells a worker whom to ask for what others make. */
export const meet = (asked: AskPage): void => void (page = asked);

async function asked(name: "holes" | "bundles", { job, night }: Chosen): Promise<Made[typeof name]> {
  if (page === null) throw new Error("this worker has not met the page");
  if (name === "holes") return arrived(valueOf(await page.holes(job, night.id)));
  return valueOf(await page.bundles(job, night.id));
}

function valueOf<T>(answer: Answer<T>): T {
  if (answer.ok) return answer.value;
  if ("faults" in answer) throw new JobFaults(answer.faults);
  throw new CannotDo(answer.cannot.message, answer.cannot.next);
}

/** The way as a worker goes it that has some stages made by others. */
export function wayWith(tools: Partial<Tools>, ...others: ("holes" | "bundles")[]): Work {
  const elsewhere = Object.fromEntries(others.map((name) => [name, (chosen: Chosen) => asked(name, chosen)]));
  return new Work({ ...BROWSER, ...tools, elsewhere }, KEPT);
}
