import type { Figure } from "../sky/types.ts";
import { holeLight } from "./packing.ts";
import type { Hole } from "./types.ts";

/** Stars that make a figure known at a glance. */
const LEADERS = 5;
/** A figure whose leaders are this bright (V) is one that people look for. */
const LOOKED_FOR_V = 3;
/** With so many holes as bright as its leaders a figure drowns. */
const MOST_RIVALS = 40;

export interface Drowned {
  abbreviation: string;
  name: string;
  /** Holes at least as bright as its fifth star. */
  rivals: number;
}

/**
 * Figures that will be hard to recognise because too many holes shine as bright as their leading stars: those
 * that matter, or where none is named, those bright enough to be looked for. Five leaders among forty equals is
 * common sense, no source.
 */
export function drowned(
  holes: readonly Hole[],
  figures: readonly Figure[],
  mattering: readonly string[],
): Drowned[] {
  const byStar = new Map(holes.filter((h) => h.star !== null).map((h) => [h.star!, h]));
  const lights = holes.map(holeLight).sort((p, q) => q - p);
  return figures.flatMap(({ abbreviation, name, lines }) => {
    if (mattering.length > 0 && !mattering.includes(abbreviation)) return [];
    const leaders = [...new Set(lines.flat())]
      .flatMap((hip) => byStar.get(hip) ?? [])
      .sort((p, q) => p.magnitude! - q.magnitude!)
      .slice(0, LEADERS);
    const last = leaders[LEADERS - 1];
    if (!last || (mattering.length === 0 && last.magnitude! > LOOKED_FOR_V)) return [];
    const least = Math.min(...leaders.map(holeLight));
    const rivals = lights.filter((light) => light >= least).length;
    return rivals > MOST_RIVALS ? [{ abbreviation, name, rivals }] : [];
  });
}
