import type { PartEntry } from "../stage/part.ts";

/** The parts of the work, in the order of the job. A new part is one line here and one folder beside this file. */
export const PARTS: readonly PartEntry[] = [
  { id: "survey", title: "Survey", load: () => import("./survey/part.ts").then((m) => m.surveyPart) },
  { id: "night", title: "Night", load: () => import("./night/part.ts").then((m) => m.nightPart) },
  { id: "pattern", title: "Pattern", load: () => import("./pattern/part.ts").then((m) => m.patternPart) },
  { id: "bundles", title: "Bundles", load: () => import("./bundles/part.ts").then((m) => m.bundlesPart) },
  { id: "order", title: "Order", load: () => import("./order/part.ts").then((m) => m.orderPart) },
  { id: "sheets", title: "Sheets", load: () => import("./sheets/part.ts").then((m) => m.sheetsPart) },
  { id: "bench", title: "Bench", load: () => import("./bench/part.ts").then((m) => m.benchPart) },
  { id: "photo", title: "Test", load: () => import("./photo/part.ts").then((m) => m.photoPart) },
];
