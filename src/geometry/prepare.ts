import { boxOf, forEachEdge } from "./measure.ts";
import type { Area, BoxUm } from "./types.ts";

/** An area made ready for many questions. */
export interface PreparedArea {
  box: BoxUm;
  /** Same answer as `containsPoint`: exact, the boundary inside. */
  contains(x: number, y: number): boolean;
}

/** Sorts the edges into level bands, so that one question looks at few of them. */
export function prepareArea(area: Area): PreparedArea {
  const box = boxOf(area);
  let edges = 0;
  forEachEdge(area, () => edges++);
  const count = Math.ceil(2 * Math.sqrt(edges)) || 1;
  const height = box.maxY - box.minY + 1;
  const bandAt = (y: number) => Math.floor(((y - box.minY) * count) / height);
  const bands: number[][] = Array.from({ length: count }, () => []);
  forEachEdge(area, (a, b) => {
    const last = bandAt(Math.max(a.y, b.y));
    for (let i = bandAt(Math.min(a.y, b.y)); i <= last; i++) bands[i]!.push(a.x, a.y, b.x, b.y);
  });
  return {
    box,
    contains(x, y) {
      if (!(x >= box.minX && x <= box.maxX && y >= box.minY && y <= box.maxY)) return false;
      return containsInBand(bands[bandAt(y)]!, x, y);
    },
  };
}

/** `containsPoint` over edges laid flat: ax, ay, bx, by, ... */
function containsInBand(edges: number[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0; i < edges.length; i += 4) {
    const ax = edges[i]!;
    const ay = edges[i + 1]!;
    const bx = edges[i + 2]!;
    const by = edges[i + 3]!;
    const above = ay > y;
    if (above !== by > y) {
      const side = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
      if (side === 0) return true;
      if (side > 0 !== above) inside = !inside;
    } else if (ay === y || by === y) {
      const side = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
      const within =
        x >= Math.min(ax, bx) && x <= Math.max(ax, bx) && y >= Math.min(ay, by) && y <= Math.max(ay, by);
      if (side === 0 && within) return true;
    }
  }
  return inside;
}
