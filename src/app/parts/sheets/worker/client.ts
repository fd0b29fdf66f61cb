import type { Asked } from "../../../worker/hand.ts";
import { introduced } from "../../../worker/makers.ts";
import type { SheetsApi } from "./api.ts";

let started: Asked<SheetsApi> | null = null;

/** The worker that draws sheets; started when the sheets part is first opened. */
export function sheetsCore(): Asked<SheetsApi> {
  started ??= introduced<SheetsApi>(
    "velarium-sheets",
    new Worker(new URL("./sheets.worker.ts", import.meta.url), { type: "module", name: "velarium-sheets" }),
  ).core;
  return started;
}
