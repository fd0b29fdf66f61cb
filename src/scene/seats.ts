import { toMm } from "../geometry/um.ts";
import { ceilingHeightMm } from "../job/assumed.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { nearestOnBoundary, containsPoint } from "../geometry/area.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Job } from "../job/schema.ts";
import { FACTS } from "../trade/facts.ts";
import { WIDEST_ASPECT, type Seat } from "./camera.ts";
import { lookAtFilling, wholeCeiling } from "./framing.ts";

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
  let best: PointMm = [toMm(x), toMm(y)];
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
        best = [toMm(px), toMm(py)];
      }
    }
  }
  return best;
}

/** The job's own seats, or three of ours: lying in the middle, seated by a wall and in a corner. */
export function seatsOf(job: Pick<Job, "scene" | "ceiling">, ceiling: Ceiling): Seat[] {
  const heightMm = ceilingHeightMm(job.ceiling);
  if (job.scene.seats.length > 0) {
    return job.scene.seats.map((seat, i) => ({
      name: seat.name || `seat ${i + 1}`,
      atMm: seat.atMm,
      eyeMm: seat.eyeMm,
      lookAtMm: seat.lookAtMm ?? lookAtFilling(ceiling, heightMm, seat),
      fieldDeg: seat.fieldDeg,
    }));
  }
  const seated = (name: string, shareX: number, shareY: number): Seat => {
    const place = { atMm: spotIn(ceiling, shareX, shareY), eyeMm: FACTS.seatedEyeMm.value, fieldDeg: 90 };
    return { name, ...place, lookAtMm: lookAtFilling(ceiling, heightMm, place) };
  };
  return [
    wholeCeiling(seatBelow(ceiling), ceiling, heightMm, WIDEST_ASPECT),
    seated("wall", 0.5, 0.08),
    seated("corner", 0.08, 0.1),
  ];
}

/** Lying on the floor in the middle, looking straight up. */
export function seatBelow(ceiling: Ceiling): Seat {
  const atMm = spotIn(ceiling, 0.5, 0.5);
  return { name: "middle", atMm, eyeMm: FACTS.lyingEyeMm.value, lookAtMm: atMm, fieldDeg: 100 };
}
