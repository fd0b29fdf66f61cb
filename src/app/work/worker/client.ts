import { releaseProxy, type Remote, wrap } from "comlink";
import type { BundlesApi } from "./api.ts";
import type { Asked } from "../../worker/client.ts";

export type BundlesCore = Asked<BundlesApi>;

/** A worker that shares out tiles. A solver can't be interrupted: its worker is stopped and another started. */
export function startBundlesWorker(name: string): { core: BundlesCore; stop: () => void } {
  const worker = new Worker(new URL("./bundles.worker.ts", import.meta.url), { type: "module", name });
  const remote = wrap<BundlesApi>(worker);
  return {
    core: remote as unknown as BundlesCore,
    stop: () => {
      (remote as Remote<BundlesApi>)[releaseProxy]();
      worker.terminate();
    },
  };
}
