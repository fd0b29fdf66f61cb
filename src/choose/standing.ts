import type { Ceiling } from "../ceiling/types.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Vector } from "../sky/linear.ts";
import { toMm } from "../geometry/um.ts";

/** Nearer to the seat than this part of the room's smaller side, a figure is overhead and over no wall. */
const OVERHEAD = 0.12;
/** Step towards the pole by which a figure's own "up" is found, in radians. */
const STEP = 0.03;

/** How a figure stands for somebody at a seat. */
export interface Standing {
  name: string;
  /** Index of the wall one faces to look at it; null overhead. */
  wall: number | null;
  /** Degrees from upright, -180 to 180, clockwise as seen. */
  turnedDeg: number;
}

/**
 * Which way is up in a figure (1 north, -1 south): north up, as charts and people of the north draw it; for the south
 * what culminates north of the zenith stands with south up. Common practice, no source.
 */
export function upOf(latDeg: number, decDeg: number): 1 | -1 {
  return latDeg >= 0 || decDeg < latDeg ? 1 : -1;
}

/** A direction (ICRS) a step from `at` towards the celestial pole that is up. */
export function stepUp(at: Vector, up: 1 | -1): Vector {
  const along = up * at[2];
  const raw: Vector = [
    at[0] - STEP * along * at[0],
    at[1] - STEP * along * at[1],
    at[2] + STEP * (up - along * at[2]),
  ];
  const length = Math.sqrt(raw[0] * raw[0] + raw[1] * raw[1] + raw[2] * raw[2]);
  return [raw[0] / length, raw[1] / length, raw[2] / length];
}

/**
 * The wall one faces at `seat` looking at a spot of the ceiling: the first that a line from the seat through the spot
 * meets; null where the spot is overhead. Plan, mm.
 */
export function wallFaced(
  { walls, box }: Pick<Ceiling, "walls" | "box">,
  seat: PointMm,
  spot: PointMm,
): number | null {
  const dx = spot[0] - seat[0];
  const dy = spot[1] - seat[1];
  const size = toMm(Math.min(box.maxX - box.minX, box.maxY - box.minY));
  if (dx * dx + dy * dy < OVERHEAD * size * OVERHEAD * size) return null;
  let first = Infinity;
  let faced: number | null = null;
  walls.forEach(({ fromUm, toUm }, i) => {
    const [fx, fy] = [toMm(fromUm.x) - seat[0], toMm(fromUm.y) - seat[1]];
    const [ex, ey] = [toMm(toUm.x - fromUm.x), toMm(toUm.y - fromUm.y)];
    const across = dx * ey - dy * ex;
    if (across === 0) return;
    const s = (fx * ey - fy * ex) / across;
    const t = (fx * dy - fy * dx) / across;
    if (s <= 0 || t < 0 || t > 1 || s >= first) return;
    first = s;
    faced = i;
  });
  return faced;
}

/**
 * Cosine and sine of how far a figure is turned, clockwise as seen from below. Somebody who looks at a spot of the
 * ceiling has the part behind that spot, nearer to himself, higher in his view: up is from the spot to the seat.
 */
export function turnedAt(
  seat: readonly [number, number],
  spot: readonly [number, number],
  above: readonly [number, number],
): { cos: number; sin: number } {
  const [ux, uy] = [seat[0] - spot[0], seat[1] - spot[1]];
  const [nx, ny] = [above[0] - spot[0], above[1] - spot[1]];
  const length = Math.sqrt((ux * ux + uy * uy) * (nx * nx + ny * ny)) || 1;
  // counter-clockwise on the plan is clockwise from below
  return { cos: (ux * nx + uy * ny) / length, sin: (ux * ny - uy * nx) / length };
}

/** Where somebody sits by whose eyes a wish is judged: the first seat of the job, else the middle of the room. */
export function judgingSeat(seats: readonly { atMm: PointMm }[], { box }: Pick<Ceiling, "box">): PointMm {
  return seats[0]?.atMm ?? [(box.minX + box.maxX) / 2000, (box.minY + box.maxY) / 2000];
}

const UPRIGHT_DEG = 15;
const LEANING_DEG = 60;
const LYING_DEG = 120;

/** "upright", "leaning 30° to the right", "lying to the left", "upside down". */
export function turnedWords(turnedDeg: number): string {
  const off = Math.abs(turnedDeg);
  const side = turnedDeg > 0 ? "right" : "left";
  if (off <= UPRIGHT_DEG) return "upright";
  if (off <= LEANING_DEG) return `leaning ${Math.round(off)}° to the ${side}`;
  return off <= LYING_DEG ? `lying to the ${side}` : "upside down";
}

/** "Orion over the bar wall, upright", "Lyra overhead". */
export function standingWords({ name, wall, turnedDeg }: Standing, walls: Ceiling["walls"]): string {
  if (wall === null) return `${name} overhead`;
  return `${name} over ${theWall(walls[wall]!.name)}, ${turnedWords(turnedDeg)}`;
}

/** "the bar wall", "wall 3". */
export function theWall(name: string): string {
  return /^(wall \d+$|the )/i.test(name) ? name : `the ${name}`;
}
