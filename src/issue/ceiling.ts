import { areaMm2, boxOf, containsPoint } from "../geometry/area.ts";
import { toUm } from "../geometry/um.ts";
import type { Area } from "../geometry/types.ts";
import type { Ceiling, Tile } from "../ceiling/types.ts";
import { zoneName } from "../ceiling/zones.ts";
import { inBothUnits } from "../job/units.ts";
import type { IssuedTile } from "./packed.ts";

/**
 * The ceiling with every issued tile as it was issued. Where the survey says otherwise now, the issued tile stands and
 * waits for a person (`Ceiling.misfits`): its holes are where they are, whatever is drawn.
 */
export function withIssued(ceiling: Ceiling, issued: readonly IssuedTile[]): Ceiling {
  if (issued.length === 0) return ceiling;
  const byName = new Map(issued.map((tile) => [tile.tile, tile]));
  const misfits: { tile: string; why: string }[] = [];
  const tiles = ceiling.tiles.map((tile): Tile => {
    const own = byName.get(tile.name);
    if (!own) return tile;
    byName.delete(tile.name);
    const why = [
      ...(tile.use === "stars" ? [] : [`the tile is now "${tile.use}"${tile.why && ` (${tile.why})`}`]),
      ...(ringsOf(tile.outline) === ringsOf(own.outline) ? [] : [`the survey now gives the tile other edges, by up to ${inBothUnits(apartMm(tile.outline, own.outline))}`]), // prettier-ignore
      ...zonesOver(ceiling, own),
    ];
    misfits.push(...why.map((words) => ({ tile: tile.name, why: words })));
    return why.length === 0 || (tile.use === "stars" && ringsOf(tile.outline) === ringsOf(own.outline))
      ? tile
      : asIssued(own, tile);
  });
  for (const own of byName.values()) {
    misfits.push({ tile: own.tile, why: "the survey has no such tile any more" });
    tiles.push(asIssued(own));
  }
  tiles.sort((a, b) => a.row - b.row || a.column - b.column);
  return {
    ...ceiling,
    tiles,
    usableMm2: tiles.reduce((sum, tile) => sum + tile.usableMm2, 0),
    ...(misfits.length > 0 && { misfits }),
  };
}

function asIssued(own: IssuedTile, now?: Tile): Tile {
  const { outline } = own;
  return {
    name: own.tile,
    row: own.row,
    column: own.column,
    use: "stars",
    why: "",
    cut: now?.cut ?? false,
    outline,
    box: boxOf(outline),
    clear: outline,
    usable: outline,
    usableMm2: areaMm2(outline),
  };
}

const ringsOf = (area: Area): string => JSON.stringify(area);

/** How far the sides of two boxes are apart, at most. */
function apartMm(a: Area, b: Area): number {
  const [p, q] = [boxOf(a), boxOf(b)];
  const most = Math.max(
    Math.abs(p.minX - q.minX),
    Math.abs(p.minY - q.minY),
    Math.abs(p.maxX - q.maxX),
    Math.abs(p.maxY - q.maxY),
  );
  return Math.ceil(most / 100) / 10;
}

/** No-go things, with their clearance, over holes that were issued. */
function zonesOver({ noGo }: Ceiling, { holes }: IssuedTile): string[] {
  return noGo.flatMap(({ source, index, grown }) => {
    const box = boxOf(grown);
    const under = holes.filter(({ hole }) => {
      const [x, y] = [toUm(hole.xMm), toUm(hole.yMm)];
      // on its very edge a hole may lie
      return x > box.minX && x < box.maxX && y > box.minY && y < box.maxY && within(grown, x, y);
    });
    if (under.length === 0) return [];
    const numbers = under.map(({ hole }) => hole.numberInTile).sort((a, b) => a - b);
    const listed = numbers.length > 8 ? `${numbers.slice(0, 8).join(", ")} ...` : numbers.join(", ");
    const holesWords =
      numbers.length === 1 ? `hole ${listed} lies` : `${numbers.length} holes (${listed}) lie`;
    return [`${holesWords} within ${inBothUnits(source.clearanceMm)} of ${zoneName(source, index)}`];
  });
}

/** Inside by more than rounding: the four places a micrometre or two beside are inside as well. */
const MARGIN_UM = 3;
const within = (area: Area, x: number, y: number): boolean =>
  [-MARGIN_UM, MARGIN_UM].every((by) => containsPoint(area, x + by, y) && containsPoint(area, x, y + by));
