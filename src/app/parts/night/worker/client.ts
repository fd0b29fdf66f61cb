import type { Asked, Hand } from "../../../worker/hand.ts";
import { introduced } from "../../../worker/makers.ts";
import type { NightApi } from "./api.ts";

export type NightCore = Asked<NightApi>;

/** A worker of the night part. Each has its own catalogue, so that none waits for another. */
export function startNightWorker(name: string): Hand<NightApi> {
  return introduced<NightApi>(
    name,
    new Worker(new URL("./night.worker.ts", import.meta.url), { type: "module", name }),
  );
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
/** Renders scenes, makes files. */
export const sceneCore = (): NightCore => once("velarium-scenes");
