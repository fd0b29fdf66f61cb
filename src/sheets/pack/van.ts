import { ratesSourceWords } from "../../job/codeWords.ts";
import { passOf } from "../../choose/words.ts";
import { dateAndClock } from "../../job/writtenTime.ts";
import { countStrands } from "../../pattern/packing.ts";
import type { Bundles } from "../../bundles/types.ts";
import type { Takeoff } from "../../takeoff/types.ts";
import type { SheetContext } from "../context.ts";
import { benchSection } from "./bench.ts";
import { changesSection, type Changes } from "./changes.ts";
import { cutPlanSection } from "./cutSheet.ts";
import { BLANK, PackDocument, TICK, type PackPage } from "./document.ts";
import { metreWords, muchWords, percent } from "./words.ts";
import { questionsBlock } from "./questions.ts";
import {
  papersSection,
  portsSection,
  routesSection,
  schedulesSection,
  sheetsIndexSection,
} from "./schedule.ts";
import { darkTestSection, installSection } from "./site.ts";
import { sourcesSection } from "./sources.ts";
import { cautionsSection, registerSection, surveySection } from "./survey.ts";

/** Everything that rides in the van, in the order of the work. */
export function vanPack(
  context: SheetContext,
  bundles: Bundles,
  takeoff: Takeoff,
  changes: Changes | null,
): PackPage[] {
  const doc = new PackDocument(context, "Van pack");
  jobSection(doc, bundles, takeoff);
  if (changes) changesSection(doc, changes);
  cautionsSection(doc);
  surveySection(doc);
  registerSection(doc);
  loadSection(doc, takeoff);
  hoursSection(doc, takeoff);
  cutPlanSection(doc, takeoff.cutPlan, takeoff.fabricM);
  papersSection(doc);
  sheetsIndexSection(doc);
  benchSection(doc, bundles, takeoff);
  if (bundles.engines.length > 0) {
    routesSection(doc, bundles);
    schedulesSection(doc, bundles);
    portsSection(doc, bundles);
  }
  installSection(doc, bundles);
  darkTestSection(doc, bundles);
  sourcesSection(doc);
  return doc.finish();
}

function jobSection(doc: PackDocument, bundles: Bundles, takeoff: Takeoff): void {
  const { plan } = doc.context;
  const { job, night, frame, pattern, ceiling } = plan;
  doc.section("The job");
  const { hours } = takeoff;
  const stars = ceiling.tiles.filter((tile) => pattern.holes.some((hole) => hole.tile === tile.name)).length;
  doc.table(
    [
      { title: "", share: 2 },
      { title: "", share: 5, bold: true },
    ],
    [
      ["sky", night.title || night.id],
      [
        "place and time",
        `${frame.place.name || "unnamed place"}, ${dateAndClock(frame.instant.localIso, frame.instant.zone, passOf(night.moment))} (${frame.instant.zone})`,
      ],
      ["tiles with stars", `${stars} of ${ceiling.tiles.length}`],
      ["holes", `${pattern.holes.length}, for ${countStrands(pattern.holes)} strands`],
      [
        "strands with an engine",
        `${bundles.strands.length}, on ${bundles.tails.length} tails from ${bundles.engines.length} ${bundles.engines.length === 1 ? "engine" : "engines"}`,
      ],
      ["strand to be run", `${muchWords(doc.context, bundles.allotment.strandM)} (${howWords(bundles)})`],
      ["bought for it", boughtWords(doc.context, bundles)],
      ["fabric", metreWords(doc.context, takeoff.fabricM)],
      [
        "hours",
        `${hours.personH} person-hours, ${hours.clockH} h with ${job.takeoff.people}; by the rates in the job (${ratesSourceWords(job.takeoff.rates.source)})`,
      ],
      ["paper", `templates on ${job.sheets.paper}`],
    ],
    { sizeMm: 2.8, leastRowMm: 6 },
  );
  questionsBlock(doc, bundles, takeoff);
  doc.heading("In this pack, in the order of the work");
  for (const words of [
    "Open questions above, and the cautions: settled before anything else.",
    "Survey plan, survey in numbers, no-go register: walk the room with them; owners initial the register.",
    "Loading list and fabric cut plan: for shop and bench.",
    "Index of template sheets, bench list: one tile after the other.",
    "Route plan, bundle schedule, common ends: for the runs and ports.",
    "Install list and dark-test list: on site, tile by tile.",
    "Where the numbers come from: the source of each, or that there is none.",
  ])
    doc.write(`\u2022 ${words}`);
}

function howWords({ allotment, engines }: Bundles): string {
  if (engines.length === 0) return "nothing is bundled yet";
  if (allotment.way === "as issued") return "as issued";
  if (allotment.way === "hand rule") return "assigned by rules of thumb";
  const gap = allotment.gap < 0.0001 ? "nothing takes less strand, counting neighbours and split tiles" : `at most ${(allotment.gap * 100).toFixed(2)} % above the best possible`; // prettier-ignore
  return gap;
}

/** Strands come in lengths: what of them is bought and not needed. */
function boughtWords(context: SheetContext, { strands }: Bundles): string {
  const sum = (of: (strand: Bundles["strands"][number]) => number) =>
    strands.reduce((total, strand) => total + of(strand), 0);
  const bought = sum(({ lengthM }) => lengthM);
  if (bought === 0) return "nothing is bundled yet";
  const slack = bought - sum(({ needM }) => needM);
  return `${muchWords(context, bought)} of cut strand, ${muchWords(context, slack)} of it (${percent(slack / bought)}) longer than its way: coiled, or trimmed at the port`;
}

/** Where the hours go, task by task. */
function hoursSection(doc: PackDocument, { hours }: Takeoff): void {
  const { people, rates } = doc.context.plan.job.takeoff;
  doc.section("Hours");
  const tasks = hours.tasks.filter(({ quantity }) => quantity > 0);
  doc.write(
    `By the rates in the job (${ratesSourceWords(rates.source)}). ${hours.allInStrandsPerPersonH} strands a person-hour, all in; ${hours.strandsPerPersonH} over the work on strands alone. Your own rates take their place as soon as you have them.`,
  );
  doc.table(
    [
      { title: "task", share: 4, bold: true },
      { title: "how many", share: 1.4, align: "right" },
      { title: "", share: 1.6 },
      { title: "rate", share: 3.4 },
      { title: "person-hours", share: 1.6, align: "right" },
      { title: "took", share: 1.6 },
    ],
    [
      ...tasks.map(({ name, quantity, unit, rate, personH }) => [
        name,
        String(quantity),
        unit,
        rate,
        personH === null ? "no rate" : personH.toFixed(1),
        BLANK,
      ]),
      ["all together", "", "", `${hours.clockH} h with ${people}`, String(hours.personH), BLANK],
    ],
    { leastRowMm: 6 },
  );
}

function loadSection(doc: PackDocument, { order }: Takeoff): void {
  doc.section("Loading list");
  doc.table(
    [
      { title: "", share: 0.6, align: "centre" },
      { title: "what", share: 2.6, bold: true },
      { title: "", share: 5 },
      { title: "how many", share: 1.4, align: "right", bold: true },
      { title: "", share: 1.2 },
      { title: "from", share: 4 },
    ],
    order.map(({ item, detail, quantity, unit, source }) => [
      TICK,
      item,
      detail,
      ...(unit === "m" ? [metreWords(doc.context, quantity), ""] : [String(quantity), unit]),
      source,
    ]),
  );
}
