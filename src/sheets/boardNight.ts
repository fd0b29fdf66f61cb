import { nightFacts, type NightFacts } from "../choose/facts.ts";
import type { Plan } from "../plan.ts";
import type { Seat } from "../scene/camera.ts";
import { wholeCeiling } from "../scene/framing.ts";
import { pictureMarks, type PictureMarks } from "../scene/marks.ts";
import { makeOverlay } from "../scene/overlay.ts";
import { renderScene } from "../scene/render.ts";
import { prepareScene } from "../scene/scene.ts";
import { boardPictureAspect } from "./board.ts";
import type { Catalog } from "../sky/types.ts";

/** Pixels enough for A3 at 200 dots an inch. */
const PICTURE_WIDTH_PX = 1500;

export interface BoardPictureOptions {
  seat: Seat;
  dimmer: number;
  /** Nights on the board: the more, the smaller its pictures. */
  nights: number;
  /** Strand lengths by hole id, in metres, where bundles tell them. */
  lengthsM?: ReadonlyMap<number, number>;
}

/** A night for a board, its picture still as RGBA: a shell packs it as PNG or JPEG. */
export interface BoardPicture {
  facts: NightFacts;
  marks: PictureMarks;
  frame: Uint8ClampedArray;
  widthPx: number;
  heightPx: number;
}

/** One night as a board shows it: a seat that looks straight up sees the whole ceiling. */
export function boardPicture(plan: Plan, catalog: Catalog, options: BoardPictureOptions): BoardPicture {
  const { box } = plan.ceiling;
  const aspect = boardPictureAspect(options.nights, (box.maxX - box.minX) / (box.maxY - box.minY));
  const [widthPx, heightPx] = [PICTURE_WIDTH_PX, Math.round(PICTURE_WIDTH_PX / aspect)];
  const seat = wholeCeiling(options.seat, plan.ceiling, plan.job.ceiling.heightMm, aspect);
  const spotScale = 1 + options.nights / 9;
  const { lengthsM } = options;
  const view = { seat, widthPx, heightPx, spotScale, ...(lengthsM === undefined ? {} : { lengthsM }) };
  const scene = prepareScene(plan, view);
  return {
    facts: nightFacts(plan, catalog),
    marks: pictureMarks(makeOverlay(plan.pattern.holes, catalog), plan, scene.camera),
    frame: renderScene(scene, { dimmer: options.dimmer }),
    widthPx,
    heightPx,
  };
}
