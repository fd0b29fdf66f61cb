import { releaseProxy, type Remote, wrap } from "comlink";
import type { Asked } from "../../../worker/client.ts";
import type { NightApi } from "./api.ts";

export type NightCore = Asked<NightApi>;

/** A worker of the night part. Each has its own catalogue, so that none waits for another. */
export function startNightWorker(name: string): { core: NightCore; stop: () => void } {
  const worker = new Worker(new URL("./night.worker.ts", import.meta.url), { type: "module", name });
  const remote = wrap<NightApi>(worker);
  return {
    core: remote as unknown as NightCore,
    stop: () => {
      (remote as Remote<NightApi>)[releaseProxy]();
      worker.terminate();
    },
  };
}

const started = new Map<string, NightCore>();

function once(name: string): NightCore {
  let core = started.get(name);
  if (!core) {
    core = startNightWorker(name).core;
    started.set(name, core);
  }
  return core;
}

/** Draws the sky under the hand: nothing slow is ever asked of it. */
export const liveCore = (): NightCore => once("velarium-sky");
/** Settles nights, renders scenes, makes files. */
export const sceneCore = (): NightCore => once("velarium-scenes");
