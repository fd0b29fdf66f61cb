import { wrap } from "comlink";
import type { CoreApi } from "./api.ts";

/** The same questions as seen from the page: every answer is a promise. */
export type Asked<T> = {
  [K in keyof T]: T[K] extends (...args: infer A) => infer R ? (...args: A) => Promise<Awaited<R>> : never;
};

let started: Asked<CoreApi> | null = null;

/** The one worker in which the core runs; started when it is first asked. */
export function core(): Asked<CoreApi> {
  started ??= wrap<CoreApi>(
    new Worker(new URL("./core.worker.ts", import.meta.url), { type: "module", name: "velarium-core" }),
  ) as unknown as Asked<CoreApi>;
  return started;
}
