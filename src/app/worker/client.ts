import type { CoreApi } from "./api.ts";
import { type Asked, handOn } from "./hand.ts";

let started: Asked<CoreApi> | null = null;

/** The one worker that reads and surveys, so that neither waits for anything slow; started when it is first asked. */
export function core(): Asked<CoreApi> {
  started ??= handOn<CoreApi>(
    new Worker(new URL("./core.worker.ts", import.meta.url), { type: "module", name: "velarium-core" }),
  ).core;
  return started;
}
