import { prepareArea } from "../geometry/prepare.ts";
import type { Ceiling } from "../ceiling/types.ts";
import type { SkyObjectId } from "../job/sections/pattern.ts";
import { starLabel } from "../sky/catalog.ts";
import { NO_COLOUR, type BodyName, type Catalog, type ProjectedSky, type SkyFrame } from "../sky/types.ts";
import type { Ends } from "./ladder.ts";
import { lightOf } from "./light.ts";
import type { HoleKind } from "./types.ts";

/** Stars this bright may be moved by `brightReachMm`, whether or not they make a figure. */
export const BRIGHT_MILLI = 3000;
/** In the weighing of moves a star that makes a figure, the Moon or a planet counts as this much brighter. */
export const FIGURE_BONUS_MILLI = 2000;
/** ... and one that makes a figure that matters to the client as so much more. */
const MATTERS_BONUS_MILLI = 2500;
/** An object of this magnitude or fainter has weight 1. */
export const WEIGHT_ONE_MILLI = 9000;

/** What the sky puts on the ceiling, brightest first (ties by Hipparcos number), as parallel columns. */
export interface SkyObjects {
  count: number;
  /** Hipparcos number, or 0 for a body. */
  hip: Int32Array;
  /** Row in the star table, or -1 - index into frame.bodies. */
  row: Int32Array;
  x: Int32Array;
  y: Int32Array;
  magnitudeMilli: Int32Array;
  inFigure: Uint8Array;
  /** Makes one of the constellations that matter to the client. */
  matters: Uint8Array;
  /** Bright, a body, or making a figure: has the longer reach. */
  prominent: Uint8Array;
  /**
   * What one micrometre of its move counts: light relative to magnitude 9, so that a star 5 magnitudes
   * brighter weighs 100 times as much; a figure star as if FIGURE_BONUS_MILLI brighter. Whole, at least 1.
   */
  weight: Float64Array;
}

/** The objects whose true place lies within the outline; the others aren't on this ceiling. */
export function objectsOnCeiling(
  projected: ProjectedSky,
  ceiling: Ceiling,
  catalog: Catalog,
  figures: readonly string[],
): SkyObjects {
  const { contains } = prepareArea(ceiling.outline);
  const { hip, row, xUm, yUm, magnitudeMilli } = projected;
  const on: number[] = [];
  for (let i = 0; i < projected.count; i++) if (contains(xUm[i]!, yUm[i]!)) on.push(i);
  const order = (p: number, q: number) =>
    magnitudeMilli[p]! - magnitudeMilli[q]! || hip[p]! - hip[q]! || row[p]! - row[q]!;
  if (on.some((i, k) => k > 0 && order(on[k - 1]!, i) > 0)) on.sort(order);
  const count = on.length;
  const objects: SkyObjects = {
    count,
    hip: Int32Array.from(on, (i) => hip[i]!),
    row: Int32Array.from(on, (i) => row[i]!),
    x: Int32Array.from(on, (i) => xUm[i]!),
    y: Int32Array.from(on, (i) => yUm[i]!),
    magnitudeMilli: Int32Array.from(on, (i) => magnitudeMilli[i]!),
    inFigure: new Uint8Array(count),
    matters: new Uint8Array(count),
    prominent: new Uint8Array(count),
    weight: new Float64Array(count),
  };
  const mattering = new Set(
    catalog.figures.flatMap((f) => (figures.includes(f.abbreviation) ? f.lines.flat() : [])),
  );
  for (let i = 0; i < count; i++) {
    const body = objects.row[i]! < 0;
    const magnitude = objects.magnitudeMilli[i]!;
    const inFigure = !body && catalog.figureStars.has(objects.hip[i]!);
    objects.inFigure[i] = inFigure ? 1 : 0;
    objects.prominent[i] = body || inFigure || magnitude <= BRIGHT_MILLI ? 1 : 0;
    const matters = !body && mattering.has(objects.hip[i]!);
    objects.matters[i] = matters ? 1 : 0;
    objects.weight[i] = weightOf(magnitude - (matters ? MATTERS_BONUS_MILLI : 0), inFigure || body);
  }
  return objects;
}

/** From the brightest to the faintest star of the constellations that matter; null where there are not two of them. */
export function matterRange({ matters, magnitudeMilli }: SkyObjects): Ends | null {
  const [first, last] = [matters.indexOf(1), matters.lastIndexOf(1)];
  return first < last ? { fromMilli: magnitudeMilli[first]!, toMilli: magnitudeMilli[last]! } : null;
}

export function weightOf(magnitudeMilli: number, prominent: boolean): number {
  const counted = magnitudeMilli - (prominent ? FIGURE_BONUS_MILLI : 0) - WEIGHT_ONE_MILLI;
  return counted >= 0 ? 1 : Math.round(lightOf(counted));
}

/** What the pattern says about one object: identity, name, kind, colour. */
export interface Identity {
  id: SkyObjectId;
  star: number | null;
  name: string;
  kind: HoleKind;
  colourBv: number | null;
}

/** Looks up who an object is. */
export function identify(objects: SkyObjects, i: number, catalog: Catalog, frame: SkyFrame): Identity {
  const row = objects.row[i]!;
  if (row < 0) {
    const body = frame.bodies[-1 - row]!.name as BodyName;
    const name = body[0]!.toUpperCase() + body.slice(1);
    return { id: body, star: null, name, kind: body === "moon" ? "moon" : "planet", colourBv: null };
  }
  const hip = objects.hip[i]!;
  const colour = catalog.stars.colourMilli[row] ?? NO_COLOUR;
  return {
    id: hip,
    star: hip,
    name: starLabel(catalog, hip),
    kind: "star",
    colourBv: colour === NO_COLOUR ? null : colour / 1000,
  };
}

/** Where an object named in the job stands in the list, or -1 where it isn't on this ceiling. */
export function indexOfObjects(objects: SkyObjects, frame: SkyFrame): Map<SkyObjectId, number> {
  const index = new Map<SkyObjectId, number>();
  for (let i = 0; i < objects.count; i++) {
    const row = objects.row[i]!;
    index.set(row < 0 ? (frame.bodies[-1 - row]!.name as BodyName) : objects.hip[i]!, i);
  }
  return index;
}
