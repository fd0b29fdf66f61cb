import type { PointMm } from "../geometry/types.ts";
import type { Planned } from "../plan.ts";
import { CAP_HEIGHT } from "../drawing/drawing.ts";
import type { Typeface } from "../drawing/typeface.ts";
import { wrapped } from "../drawing/words.ts";
import { toMm } from "../geometry/um.ts";

/** A wall on the sheet: its ends, and the way out of the room, square to it and 1 mm long. */
export interface SheetWall {
  name: string;
  from: PointMm;
  to: PointMm;
  outward: PointMm;
  lengthMm: number;
  /** On the plan. */
  trueMm: number;
}

/** Walls as a drawing has them, whichever side it shows; walls without length are left away. */
export function wallsOnSheet({ ceiling }: Planned, at: (place: PointMm) => PointMm): SheetWall[] {
  const walls = ceiling.walls.map(({ name, fromUm, toUm }) => ({
    name,
    from: at([toMm(fromUm.x), toMm(fromUm.y)]),
    to: at([toMm(toUm.x), toMm(toUm.y)]),
    trueMm: toMm(Math.hypot(toUm.x - fromUm.x, toUm.y - fromUm.y)),
  }));
  const twiceArea = walls.reduce((sum, { from, to }) => sum + from[0] * to[1] - to[0] * from[1], 0);
  const out = twiceArea > 0 ? 1 : -1;
  return walls.flatMap((wall): SheetWall[] => {
    const [dx, dy] = [wall.to[0] - wall.from[0], wall.to[1] - wall.from[1]];
    const lengthMm = Math.hypot(dx, dy);
    if (lengthMm === 0) return [];
    return [{ ...wall, lengthMm, outward: [(out * dy) / lengthMm, (-out * dx) / lengthMm] }];
  });
}

/** Along neither edge of the sheet. */
export const isSlanting = ({ outward: [nx, ny] }: SheetWall): boolean =>
  Math.min(Math.abs(nx), Math.abs(ny)) > 0.01;

/**
 * Where words stand beside a wall, outside the room, `awayMm` off it: the middle of their baseline, and their turn.
 * Beside an upright wall they are read from below, beside a slanting one they lie.
 */
export function besideWall(
  wall: SheetWall,
  awayMm: number,
  sizeMm: number,
  widthMm: number,
): { at: PointMm; turnDeg: number } {
  const { from, to } = wall;
  const [nx, ny] = wall.outward;
  const high = sizeMm * CAP_HEIGHT;
  const [x, y] = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];
  if (isSlanting(wall)) {
    const away = awayMm + (widthMm / 2) * Math.abs(nx) + (high / 2) * Math.abs(ny);
    return { at: [x + nx * away, y + ny * away - high / 2], turnDeg: 0 };
  }
  const upright = Math.abs(nx) > Math.abs(ny);
  // the letters' height lies between wall and baseline where they stand right of it or below it
  const away = awayMm + ((upright ? nx > 0 : ny < 0) ? high : 0);
  return { at: [x + nx * away, y + ny * away], turnDeg: upright ? 90 : 0 };
}

/** A line of a wall's name, lines of a text apart. */
const LEADING = 1.25;

/**
 * A wall's name outside the room, line by line as `besideWall` puts them: a name longer than its wall goes on in a
 * further line, so that it runs neither over a corner into the room nor into the next name.
 */
export function wallName(
  wall: SheetWall,
  words: string,
  awayMm: number,
  sizeMm: number,
  typeface: Typeface,
): { words: string; at: PointMm; turnDeg: number }[] {
  const longest = Math.max(...words.split(" ").map((word) => typeface.widthMm(word, sizeMm)));
  const lines = isSlanting(wall)
    ? [words]
    : wrapped(words, Math.max(wall.lengthMm, longest) + 0.01, sizeMm, typeface);
  const [nx, ny] = wall.outward;
  // the first line is the upper one, or the left one where it is read from below
  const firstIsNearest = Math.abs(nx) > Math.abs(ny) ? nx > 0 : ny < 0;
  return lines.map((line, i) => {
    const from = firstIsNearest ? i : lines.length - 1 - i;
    const width = typeface.widthMm(line, sizeMm);
    return { words: line, ...besideWall(wall, awayMm + from * sizeMm * LEADING, sizeMm, width) };
  });
}
