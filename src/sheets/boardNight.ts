import { ceilingHeightMm } from "../job/assumed.ts";
import { nightFacts, type NightFacts } from "../choose/facts.ts";
import type { LitPlan } from "../bundles/litPlan.ts";
import type { Seat } from "../scene/camera.ts";
import { wholeCeiling } from "../scene/framing.ts";
import { pictureMarks, type PictureMarks } from "../scene/marks.ts";
import { makeOverlay } from "../scene/overlay.ts";
import { renderScene } from "../scene/render.ts";
import { prepareScene, whiteLightOf, type SceneOptions } from "../scene/scene.ts";
import { boardPictureAspect } from "./board.ts";
import type { Catalog } from "../sky/types.ts";

/** Pixels enough for A3 at 180 dots an inch: a hard point is a third of a millimetre wide there. */
const PICTURE_WIDTH_PX = 1900;

export interface BoardPictureOptions {
  seat: Seat;
  dimmer: number;
}

/** A night for a board, its picture still as RGBA: a shell packs it as PNG or JPEG. */
export interface BoardPicture {
  facts: NightFacts;
  marks: PictureMarks;
  frame: Uint8ClampedArray;
  widthPx: number;
  heightPx: number;
}

/** The nights of a board: a seat that looks straight up sees the whole ceiling; one exposure for all. */
export function boardPictures(
  nights: readonly LitPlan[],
  catalog: Catalog,
  options: BoardPictureOptions,
): BoardPicture[] {
  const views = nights.map((night) => viewOf(night, options.seat));
  const whiteLight = Math.max(...nights.map(({ plan }, i) => whiteLightOf(plan, views[i]!)));
  let room: Float32Array | undefined;
  return nights.map(({ plan }, i): BoardPicture => {
    const { widthPx, heightPx } = views[i]!;
    const scene = prepareScene(plan, { ...views[i]!, whiteLight, ...(room && { room }) });
    room = scene.room;
    return {
      facts: nightFacts(plan, catalog),
      marks: pictureMarks(makeOverlay(plan.pattern.holes, catalog), plan, scene.camera),
      frame: renderScene(scene, { dimmer: options.dimmer }),
      widthPx,
      heightPx,
    };
  });
}

function viewOf({ plan, lengthsM }: LitPlan, from: Seat): SceneOptions {
  const { box } = plan.ceiling;
  const aspect = boardPictureAspect((box.maxX - box.minX) / (box.maxY - box.minY));
  const [widthPx, heightPx] = [PICTURE_WIDTH_PX, Math.round(PICTURE_WIDTH_PX / aspect)];
  const seat = wholeCeiling(from, plan.ceiling, ceilingHeightMm(plan.job.ceiling), aspect);
  return { seat, widthPx, heightPx, ...(lengthsM && { lengthsM }) };
}
