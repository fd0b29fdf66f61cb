import { ceilingHeightMm } from "../job/assumed.ts";
import { renderScene } from "./render.ts";
import { prepareScene, type SceneSource } from "./scene.ts";
import { wholeCeiling } from "./framing.ts";
import { seatBelow } from "./seats.ts";

const WIDTH_PX = 400;

/** A small picture of a whole ceiling in the dark, looking up: RGBA. */
export interface Thumbnail {
  rgba: Uint8ClampedArray;
  widthPx: number;
  heightPx: number;
}

/** Every strand of the job's usual length: quick, and enough to tell one sky from another. */
export function thumbnailOf(plan: SceneSource): Thumbnail {
  const { box } = plan.ceiling;
  const aspect = Math.min(2, Math.max(1, (box.maxX - box.minX) / (box.maxY - box.minY)));
  const [widthPx, heightPx] = [WIDTH_PX, Math.round(WIDTH_PX / aspect)];
  const seat = wholeCeiling(seatBelow(plan.ceiling), plan.ceiling, ceilingHeightMm(plan.job.ceiling), aspect);
  const scene = prepareScene(plan, { seat, widthPx, heightPx });
  return { rgba: renderScene(scene, { dimmer: plan.job.scene.dimmer }), widthPx, heightPx };
}
