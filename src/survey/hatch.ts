import { arc, bulged, type Bulged } from "./curves.ts";
import type { Group } from "./groups.ts";
import type { Point } from "./types.ts";

/** A hatched area of a drawing: its edges, and the families of parallel lines that fill it. */
export interface Hatch {
  layer: string;
  loops: Point[][];
  /** A point on one line, the direction of the lines in degrees, and the step to the next line. */
  families: { base: Point; angleDeg: number; step: Point }[];
  /** -1 where it is drawn mirrored. */
  extrusionZ: number;
}

/** A pattern drawn as hatch may be a ceiling grid; finer ones only shade an area and are not drawn out. */
const MOST_LINES = 2000;
/** A grid's lines meet the edge of its hatch a few times each. */
const MOST_CROSSINGS = 20_000;

/** Reads the group codes of one HATCH (DXF Reference, "HATCH"). */
export function readHatch(groups: Group[]): Hatch {
  const hatch: Hatch = { layer: "0", loops: [], families: [], extrusionZ: 1 };
  let at = 0;
  const next = (code: number): number => {
    while (at < groups.length && groups[at]![0] !== code) at++;
    return Number(groups[at++]?.[1] ?? 0);
  };
  const has = (code: number): boolean => groups[at]?.[0] === code;
  const point = (code: number): Point => [next(code), next(code + 10)];

  for (; at < groups.length && groups[at]![0] !== 91; at++) {
    if (has(8)) hatch.layer = groups[at]![1];
    if (has(230)) hatch.extrusionZ = Number(groups[at]![1]);
  }
  const loops = Math.min(next(91), groups.length);
  for (let k = 0; k < loops; k++) hatch.loops.push(next(92) & 2 ? polyline() : edges());
  const style = at;
  if (groups.slice(style).some(([code]) => code === 78)) {
    const lines = Math.min(next(78), groups.length);
    for (let k = 0; k < lines; k++)
      hatch.families.push({ angleDeg: next(53), base: [next(43), next(44)], step: [next(45), next(46)] });
  }
  return hatch;

  function polyline(): Point[] {
    const curved = next(72) !== 0;
    next(73);
    const corners: Bulged[] = Array.from({ length: Math.min(next(93), groups.length) }, () => {
      const [x, y] = point(10);
      return { x, y, bulge: curved && has(42) ? next(42) : 0 };
    });
    return bulged(corners, true);
  }

  function edges(): Point[] {
    const points: Point[] = [];
    const count = Math.min(next(93), groups.length);
    for (let k = 0; k < count; k++) {
      const kind = next(72);
      if (kind === 1) points.push(point(10), point(11));
      else if (kind === 2) {
        const centre = point(10);
        const radius = next(40);
        const [from, to] = [next(50), next(51)];
        const sense = next(73) ? 1 : -1;
        points.push(
          ...arc(centre, [radius, 0], 1, (sense * from * Math.PI) / 180, (sense * to * Math.PI) / 180),
        );
      } else return points; // elliptic and spline edges: the loop stays open and is not used
    }
    return points;
  }
}

/** The lines that fill a hatch, between its edges (every second stretch of a line is inside); [] where they are too fine to be a grid. */
export function hatchLines({ loops, families }: Hatch): [Point, Point][] {
  const sides = loops
    .filter((loop) => loop.length > 2)
    .flatMap((loop) => loop.map((p, i): [Point, Point] => [p, loop[(i + 1) % loop.length]!]));
  return families.flatMap(({ base, angleDeg, step }) => {
    const along: Point = [Math.cos((angleDeg * Math.PI) / 180), Math.sin((angleDeg * Math.PI) / 180)];
    const across = along[0] * step[1] - along[1] * step[0];
    // where a point lies along the lines, and at which number of line, from the base
    const at = ([x, y]: Point): Point => {
      const [dx, dy] = [x - base[0], y - base[1]];
      return [along[0] * dx + along[1] * dy, (along[0] * dy - along[1] * dx) / across];
    };
    const crossings = new Map<number, number[]>();
    let left = MOST_CROSSINGS;
    for (const [p, q] of sides) {
      const [[from, low], [to, high]] = [at(p), at(q)].sort((a, b) => a[1] - b[1]) as [Point, Point];
      // Where the numbers of the lines are no exact whole numbers any more, one more is the same again.
      if (!(high - low < MOST_LINES && Number.isSafeInteger(Math.ceil(low)))) return [];
      for (let k = Math.ceil(low); k < high; k++) {
        if (left-- === 0) return [];
        const where = from + ((k - low) / (high - low)) * (to - from);
        crossings.set(k, [...(crossings.get(k) ?? []), where]);
      }
    }
    if (crossings.size > MOST_LINES) return [];
    return [...crossings].flatMap(([k, found]) => {
      const off = k * across;
      const points = found
        .sort((a, b) => a - b)
        .map((t): Point => [
          base[0] + t * along[0] - off * along[1],
          base[1] + t * along[1] + off * along[0],
        ]);
      return points.flatMap((p, i): [Point, Point][] => (i % 2 === 1 ? [[points[i - 1]!, p]] : []));
    });
  });
}
