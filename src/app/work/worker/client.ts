import type { Asked } from "../../worker/hand.ts";
import { introduced } from "../../worker/makers.ts";
import type { BundlesApi } from "./api.ts";

let started: Asked<BundlesApi> | null = null;

/** The worker that shares out by hand rules, reckons and draws packs; started when it is first asked. */
export function bundlesCore(): Asked<BundlesApi> {
  started ??= introduced<BundlesApi>(
    "velarium-bundles",
    new Worker(new URL("./bundles.worker.ts", import.meta.url), { type: "module", name: "velarium-bundles" }),
  ).core;
  return started;
}
