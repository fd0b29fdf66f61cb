import type { Ceiling, Tile } from "../ceiling/types.ts";
import { toUm } from "../geometry/um.ts";
import type { TakeoffSection } from "../job/sections/takeoff.ts";
import type { Blank } from "./types.ts";
import { FACTS } from "../trade/facts.ts";

/** Tiles that get fabric: those with stars, and those only covered. */
export const coveredTiles = (ceiling: Ceiling): Tile[] => ceiling.tiles.filter(({ use }) => use !== "plain");

/** Side of the blank for a tile's side: tile + 2 x (thickness + wrap), in whole micrometres. */
export function blankSideUm(tileUm: number, thicknessMm: number, wrapMm: number): number {
  return tileUm + 2 * (toUm(thicknessMm) + toUm(wrapMm));
}

/** Width of a roll that blanks may take, in whole micrometres. */
export const usableUm = (rollUm: number, selvedgeUm: number): number =>
  Math.max(0, rollUm - selvedgeUm - toUm(FACTS.scissorsMm.value));

/** How many blanks of that side lie side by side across the roll. */
export function acrossCount(blankMm: number, rollWidthMm: number, selvedgeMm: number): number {
  return Math.floor(usableUm(toUm(rollWidthMm), toUm(selvedgeMm)) / toUm(blankMm));
}

/** A blank for every covered tile at its own size, and the spare ones at the size of a full tile. */
export function blanksOf(ceiling: Ceiling, { fabric }: TakeoffSection): Blank[] {
  const { thicknessMm, tileMm } = ceiling.grid;
  const up = fabric.pile === "up";
  const blank = (name: string, xUm: number, yUm: number): Blank => {
    const [x, y] = [xUm, yUm].map((side) => blankSideUm(side, thicknessMm, fabric.wrapMm)) as [
      number,
      number,
    ];
    return { name, acrossUm: up ? x : y, alongUm: up ? y : x };
  };
  const spares = Array.from({ length: fabric.spareBlanks }, (_, i) =>
    blank(`spare ${i + 1}`, toUm(tileMm[0]), toUm(tileMm[1])),
  );
  return [
    ...coveredTiles(ceiling).map(({ name, box }) => blank(name, box.maxX - box.minX, box.maxY - box.minY)),
    ...spares,
  ];
}
