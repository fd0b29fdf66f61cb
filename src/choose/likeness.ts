import { UM_PER_MM } from "../geometry/um.ts";
import { makeProjection } from "../sky/projection.ts";
import { sinCosDeg } from "../sky/exactTrig.ts";
import { spreadOf, standOf, type Spread } from "./cast.ts";
import type { Candidate, Search } from "./weigh.ts";

/** A star shows at the same place when it is nearer than this part of the room's smaller side. */
const SAME_PLACE = 0.12;

/**
 * How alike two skies look on the ceiling, 0 to 1: the part of the second's light whose stars the first shows too, at
 * much the same place.
 */
export function likeness(search: Search, times: readonly number[]): (a: Candidate, b: Candidate) => number {
  const { box } = search.ceiling;
  const cell = SAME_PLACE * Math.min(box.maxX - box.minX, box.maxY - box.minY);
  const half = Math.max(box.maxX - box.minX, box.maxY - box.minY);
  const spreads = new Map<string, Spread>();
  const spreadFor = ({ time, view }: Candidate): Spread => {
    const key = `${time} ${view}`;
    const known = spreads.get(key);
    if (known) return known;
    const { cast, catalog, job, base, views } = search;
    const stand = standOf(cast, search.frameOf(times[time]!), catalog, job.pattern.brightReachMm);
    const projection = makeProjection(
      { ...views[view]!, turnDeg: 0 },
      base.field,
      job.ceiling.bearingDeg,
      box,
    );
    const spread = spreadOf(stand, projection, half);
    spreads.set(key, spread);
    return spread;
  };
  const shown = (candidate: Candidate): { x: number; y: number; light: number; who: string }[] => {
    const { x, y, light, who, projection } = spreadFor(candidate);
    const [sin, cos] = sinCosDeg(candidate.turnDeg);
    const [ax, ay] = [projection.anchorMm[0] * UM_PER_MM, projection.anchorMm[1] * UM_PER_MM];
    return [...x].flatMap((_, i) => {
      const px = ax + cos * x[i]! + sin * y[i]!;
      const py = ay + cos * y[i]! - sin * x[i]!;
      const inside = px >= box.minX && px <= box.maxX && py >= box.minY && py <= box.maxY;
      return inside ? [{ x: px, y: py, light: light[i]!, who: who[i]! }] : [];
    });
  };
  return (a, b) => {
    const first = new Map(shown(a).map((star) => [star.who, star]));
    let all = 0;
    let same = 0;
    for (const star of shown(b)) {
      all += star.light;
      const other = first.get(star.who);
      if (other && Math.abs(other.x - star.x) < cell && Math.abs(other.y - star.y) < cell) same += star.light;
    }
    return all > 0 ? same / all : 1;
  };
}
