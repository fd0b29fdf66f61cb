import type { Ceiling } from "../ceiling/types.ts";
import { nearestOnBoundary, containsPoint } from "../geometry/area.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Job } from "../job/schema.ts";
import type { Seat } from "./camera.ts";

/** Eye heights: common practice, no source. */
const SEATED_EYE_MM = 1200;
const STANDING_EYE_MM = 1600;

function middleOf(ceiling: Ceiling): PointMm {
  const { minX, minY, maxX, maxY } = ceiling.box;
  return [(minX + maxX) / 2000, (minY + maxY) / 2000];
}

/** A spot `shareX`, `shareY` across the bounding box, drawn towards the inside of an odd-shaped room. */
function spotIn(ceiling: Ceiling, shareX: number, shareY: number): PointMm {
  const { minX, minY, maxX, maxY } = ceiling.box;
  const x = minX + shareX * (maxX - minX);
  const y = minY + shareY * (maxY - minY);
  const clear = 300_000;
  const goodAt = (px: number, py: number): boolean => {
    const near = nearestOnBoundary(ceiling.outline, px, py);
    return containsPoint(ceiling.outline, px, py) && near !== null && near.distance2 >= clear * clear;
  };
  let best: PointMm = [x / 1000, y / 1000];
  let bestDistance = Infinity;
  const steps = 40;
  if (goodAt(x, y)) return best;
  for (let i = 0; i <= steps; i++) {
    for (let j = 0; j <= steps; j++) {
      const px = Math.round(minX + (i / steps) * (maxX - minX));
      const py = Math.round(minY + (j / steps) * (maxY - minY));
      const distance = (px - x) * (px - x) + (py - y) * (py - y);
      if (distance < bestDistance && goodAt(px, py)) {
        bestDistance = distance;
        best = [px / 1000, py / 1000];
      }
    }
  }
  return best;
}

/** The job's own seats, or three of ours: the middle looking straight up, by a wall, standing in a corner. */
export function seatsOf(job: Pick<Job, "scene">, ceiling: Ceiling): Seat[] {
  const middle = middleOf(ceiling);
  if (job.scene.seats.length > 0) {
    return job.scene.seats.map((seat, i) => ({
      name: seat.name || `seat ${i + 1}`,
      atMm: seat.atMm,
      eyeMm: seat.eyeMm,
      lookAtMm: seat.lookAtMm ?? middle,
      fieldDeg: seat.fieldDeg,
    }));
  }
  const centre = spotIn(ceiling, 0.5, 0.5);
  const wall = spotIn(ceiling, 0.5, 0.08);
  const corner = spotIn(ceiling, 0.08, 0.1);
  /** Leaning back: a spot nearer than the middle. */
  const ahead = ([x, y]: PointMm): PointMm => [x + 0.7 * (centre[0] - x), y + 0.7 * (centre[1] - y)];
  return [
    { name: "middle", atMm: centre, eyeMm: SEATED_EYE_MM, lookAtMm: centre, fieldDeg: 100 },
    { name: "wall", atMm: wall, eyeMm: SEATED_EYE_MM, lookAtMm: ahead(wall), fieldDeg: 90 },
    { name: "corner", atMm: corner, eyeMm: STANDING_EYE_MM, lookAtMm: ahead(corner), fieldDeg: 90 },
  ];
}
