import { formatLength, type LengthUnits } from "../job/units.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Ceiling, Grid, Wall } from "./types.ts";
import { UM_PER_MM, toMm } from "../geometry/um.ts";

export interface FromWall {
  wall: string;
  mm: number;
  /** The place lies on the far side of the wall, outside the room. */
  behind: boolean;
  /** 0 beside the wall; else how far past its end the place lies, measured from where the wall would run on. */
  pastMm: number;
  /** Among the walls given. */
  index: number;
}

/** A wall with length: where it begins, which way it runs, 1 mm long, and which way into the room. */
interface WallLine {
  at: PointMm;
  along: PointMm;
  inward: PointMm;
  lengthMm: number;
}

/** On which hand of a wall, walked from its beginning, the room lies: 1 left, -1 right. */
const roomSide = (walls: readonly Wall[]): 1 | -1 =>
  walls.reduce((sum, { fromUm: a, toUm: b }) => sum + a.x * b.y - b.x * a.y, 0) > 0 ? 1 : -1;

function lineOf({ fromUm, toUm }: Wall, inside: 1 | -1): WallLine | null {
  const at: PointMm = [toMm(fromUm.x), toMm(fromUm.y)];
  const [dx, dy] = [toMm(toUm.x) - at[0], toMm(toUm.y) - at[1]];
  const lengthMm = Math.hypot(dx, dy);
  if (lengthMm === 0) return null;
  const along: PointMm = [dx / lengthMm, dy / lengthMm];
  return { at, along, inward: [-inside * along[1], inside * along[0]], lengthMm };
}

const dot = (a: PointMm, b: PointMm): number => a[0] * b[0] + a[1] * b[1];

/**
 * A place on the plan by its distance, square, from the two walls that a tape reaches it from: the nearest of
 * those that run more along the plan's y, and of those that run more along its x. A wall that the place lies
 * beside comes before one whose end it lies past; of those the one with the nearest end (an engine behind a wall).
 * With `only`, the walls of those places in the list come into question.
 */
export function fromWalls(
  walls: readonly Wall[],
  place: PointMm,
  only: readonly number[] | null = null,
): FromWall[] {
  const inside = roomSide(walls);
  return [true, false].flatMap((upright): FromWall[] => {
    let best: FromWall | null = null;
    walls.forEach((wall, index) => {
      const line = lineOf(wall, inside);
      if (!line || (only && !only.includes(index))) return;
      if (Math.abs(line.along[1]) > Math.abs(line.along[0]) !== upright) return;
      const off: PointMm = [place[0] - line.at[0], place[1] - line.at[1]];
      const along = dot(off, line.along);
      // to the micrometre: of two walls that end alike far off the nearer counts
      const pastMm = Math.round(1000 * Math.max(0, -along, along - line.lengthMm)) / 1000;
      const away = dot(off, line.inward);
      const mm = Math.abs(away);
      if (!best || pastMm < best.pastMm || (pastMm === best.pastMm && mm < best.mm))
        best = { wall: wall.name, mm, behind: away < 0, pastMm, index };
    });
    return best ? [best] : [];
  });
}

/**
 * Where a place comes to lie when one of the distances that `fromWalls` told becomes `mm` on the same side of its
 * wall (below 0: beyond it), while the other distance stays. To the micrometre.
 */
export function placeFromWalls(
  walls: readonly Wall[],
  place: PointMm,
  told: readonly FromWall[],
  which: number,
  mm: number,
): PointMm {
  const inside = roomSide(walls);
  const lineAt = (at: number): WallLine | null => (told[at] ? lineOf(walls[told[at].index]!, inside) : null);
  const line = lineAt(which);
  if (!line) return place;
  const by = (told[which]!.behind ? -1 : 1) * (mm - told[which]!.mm);
  // along the other wall its distance stays; where the two run nearly alike, square to this one
  const other = lineAt(1 - which);
  const meet = other ? dot(other.along, line.inward) : 0;
  const way: PointMm =
    other && Math.abs(meet) > NEARLY_ALIKE ? [other.along[0] / meet, other.along[1] / meet] : line.inward;
  return [wholeUm(place[0] + by * way[0]), wholeUm(place[1] + by * way[1])];
}

/** Sine of the angle between two walls that are taken as running alike. */
const NEARLY_ALIKE = 0.2;
const wholeUm = (mm: number): number => toMm(Math.round(mm * UM_PER_MM)) + 0;

/** "from the bar wall", "behind the line of the east wall": what a distance counts from. */
export const wallWords = ({ wall, behind, pastMm }: FromWall): string =>
  `${behind ? "behind" : "from"} ${pastMm > 0 ? "the line of " : ""}${wall}`;

/**
 * "1200 mm from the bar wall, 250 mm behind the east wall", to whole millimetres or sixteenths of an inch: the same
 * words on every paper and screen.
 */
export function fromWallsWords(
  walls: readonly Wall[],
  place: PointMm,
  units: LengthUnits,
  clean: (words: string) => string = (words) => words,
): string {
  const length = (mm: number): string => formatLength(units === "ft-in" ? mm : Math.round(mm), units);
  const told = fromWalls(walls, place);
  if (told.length === 0) return place.map(length).join(" right, ") + " up from the plan's lower left";
  return told
    .map((from) => `${length(from.mm)} ${wallWords({ ...from, wall: clean(from.wall) })}`)
    .join(", ");
}

/** Whose border the first and last tiles of the grid are: the longest wall along each edge of the plan, or that edge. */
export function borderWalls({ walls, box }: Pick<Ceiling, "walls" | "box">): Record<Border, string> {
  const longest = (edge: "x" | "y", um: number, none: string): string => {
    const own = walls.filter(({ fromUm, toUm }) => fromUm[edge] === um && toUm[edge] === um);
    const reach = ({ fromUm, toUm }: Wall): number =>
      Math.abs(toUm.x - fromUm.x) + Math.abs(toUm.y - fromUm.y);
    return own.reduce<Wall | null>((best, wall) => (best && reach(best) >= reach(wall) ? best : wall), null)?.name ?? none; // prettier-ignore
  };
  return {
    left: longest("x", box.minX, "the plan's left edge"),
    right: longest("x", box.maxX, "the plan's right edge"),
    bottom: longest("y", box.minY, "the plan's lower edge"),
    top: longest("y", box.maxY, "the plan's upper edge"),
  };
}
type Border = keyof Grid["bordersMm"];
