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

/** The lines that fill a hatch, as far as they lie in the box round it; [] where they are too fine to be a grid. */
export function hatchLines({ loops, families }: Hatch): [Point, Point][] {
  const all = loops.flat();
  if (all.length < 3) return [];
  const xs = all.map(([x]) => x);
  const ys = all.map(([, y]) => y);
  const box = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)] as const;
  return families.flatMap(({ base, angleDeg, step }) => {
    const along: Point = [Math.cos((angleDeg * Math.PI) / 180), Math.sin((angleDeg * Math.PI) / 180)];
    const across = along[0] * step[1] - along[1] * step[0];
    const corners: Point[] = [
      [box[0], box[1]],
      [box[2], box[1]],
      [box[2], box[3]],
      [box[0], box[3]],
    ];
    const offsets = corners.map(([x, y]) => along[0] * (y - base[1]) - along[1] * (x - base[0]));
    const [first, last] = [Math.min(...offsets) / across, Math.max(...offsets) / across].sort(
      (a, b) => a - b,
    ) as [number, number];
    // Where the numbers of the lines are no exact whole numbers any more, one more is the same again.
    if (!(last - first < MOST_LINES && Number.isSafeInteger(Math.ceil(first)))) return [];
    const lines: [Point, Point][] = [];
    for (let k = Math.ceil(first); k <= last; k++) {
      const start: Point = [base[0] + k * step[0], base[1] + k * step[1]];
      const span = within(start, along, box);
      if (span) lines.push(span);
    }
    return lines;
  });
}

/** The part of a line that lies in a box. */
function within(
  start: Point,
  along: Point,
  box: readonly [number, number, number, number],
): [Point, Point] | null {
  let [from, to] = [-Infinity, Infinity];
  for (const axis of [0, 1] as const) {
    const [low, high] = [box[axis] - start[axis], box[axis + 2]! - start[axis]];
    if (Math.abs(along[axis]) < 1e-9) {
      if (low > 0 || high < 0) return null;
      continue;
    }
    const [a, b] = [low / along[axis], high / along[axis]].sort((p, q) => p - q) as [number, number];
    from = Math.max(from, a);
    to = Math.min(to, b);
  }
  if (!(to > from)) return null;
  return [
    [start[0] + from * along[0], start[1] + from * along[1]],
    [start[0] + to * along[0], start[1] + to * along[1]],
  ];
}
