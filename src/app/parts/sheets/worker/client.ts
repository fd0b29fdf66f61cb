import { wrap } from "comlink";
import type { Asked } from "../../../worker/client.ts";
import type { SheetsApi } from "./api.ts";

let core: Asked<SheetsApi> | null = null;

/** The worker that draws sheets; started when the sheets part is first opened. */
export function sheetsCore(): Asked<SheetsApi> {
  core ??= wrap<SheetsApi>(
    new Worker(new URL("./sheets.worker.ts", import.meta.url), { type: "module", name: "velarium-sheets" }),
  ) as unknown as Asked<SheetsApi>;
  return core;
}
