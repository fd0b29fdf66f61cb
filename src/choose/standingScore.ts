import type { PointMm } from "../geometry/types.ts";
import type { Plan } from "../plan.ts";
import { rowOfStar } from "../sky/catalog.ts";
import { seenAt } from "../sky/frame.ts";
import { apply, type Vector } from "../sky/linear.ts";
import { scaleUm, stereographic, toPlan } from "../sky/projection.ts";
import { atan2Deg, sinCosDeg } from "../sky/exactTrig.ts";
import type { Catalog, Projection, SkyFrame } from "../sky/types.ts";
import { stepUp, turnedAt, upOf, wallFaced, type Standing } from "./standing.ts";
import { figureStars } from "./wished.ts";
import type { Search } from "./weigh.ts";
import type { Wish } from "./wish.ts";
import { toMm } from "../geometry/um.ts";

/** What is left of a wish granted over another wall, and at most of one turned too far. Our own judgement. */
const OTHER_WALL = 0.3;
const TURNED = 0.6;

/** Middle of a figure's stars as a unit vector (ICRS). */
export function middleOf(catalog: Pick<Catalog, "figures" | "stars">, name: string): Vector {
  let sum: Vector = [0, 0, 0];
  for (const hip of figureStars(catalog, name)) {
    const row = rowOfStar(catalog.stars, hip);
    if (row < 0) continue;
    const { x, y, z } = catalog.stars;
    sum = [sum[0] + x[row]!, sum[1] + y[row]!, sum[2] + z[row]!];
  }
  const length = Math.sqrt(sum[0] * sum[0] + sum[1] * sum[1] + sum[2] * sum[2]) || 1;
  return [sum[0] / length, sum[1] / length, sum[2] / length];
}

/** Whether a wish asks how its figures stand. */
export function asksStanding({ overWalls, mostTurnedDeg }: Wish): boolean {
  return mostTurnedDeg !== undefined || Object.keys(overWalls ?? {}).length > 0;
}

type Judged = (sin: number, cos: number) => Float64Array;

/**
 * Made once for a search, then for each sky: how well the wished figures stand at a turn, 1 as wished. Bodies have
 * no uprightness and are always well.
 */
export function standingJudge({
  cast,
  catalog,
  ceiling,
  wish,
  seatMm,
}: Search): (frame: SkyFrame, projection: Projection, axes: Float64Array) => Judged {
  const figures = cast.wished.map((one) => (one.kind === "figure" ? middleOf(catalog, one.name) : null));
  const walls = cast.wished.map((_, i) => wish.overWalls?.[wish.constellations?.[i] ?? ""] ?? null);
  const leastCos = sinCosDeg(wish.mostTurnedDeg ?? 180)[1];
  const credits = new Float64Array(figures.length).fill(1);
  return (frame, projection, axes) => {
    const scale = toMm(scaleUm(projection));
    const [ax, ay] = projection.anchorMm;
    const flat = (icrs: Vector): PointMm | null => {
      const at = stereographic(...apply(axes, seenAt(frame, icrs)));
      return at && [at[0] * scale, at[1] * scale];
    };
    const places = figures.map((middle) => {
      if (middle === null) return null;
      const spot = flat(middle);
      const above = flat(stepUp(middle, upOf(frame.place.latDeg, declinationDeg(middle))));
      return spot && above && { spot, above };
    });
    return (sin, cos) => {
      const turned = ([x, y]: PointMm): PointMm => [ax + cos * x + sin * y, ay + cos * y - sin * x];
      places.forEach((place, i) => {
        if (figures[i] === null) return;
        credits[i] = 0;
        if (place === null) return;
        const spot = turned(place.spot);
        const tilt = turnedAt(seatMm, spot, turned(place.above)).cos;
        const wall = walls[i] === null || wallFaced(ceiling, seatMm, spot) === walls[i] ? 1 : OTHER_WALL;
        credits[i] = wall * (tilt >= leastCos ? 1 : (TURNED * (1 + tilt)) / (1 + leastCos));
      });
      return credits;
    };
  };
}

function declinationDeg(icrs: Vector): number {
  return atan2Deg(icrs[2], Math.sqrt(icrs[0] * icrs[0] + icrs[1] * icrs[1]));
}

/** How a figure stands in a sky laid on a ceiling, as seen from a seat; null where its middle is below the horizon. */
export function standingOf(
  name: string,
  seatMm: PointMm,
  { ceiling, frame, projection }: Pick<Plan, "ceiling" | "frame" | "projection">,
  catalog: Pick<Catalog, "figures" | "stars">,
): Standing | null {
  const place = (icrs: Vector): PointMm | null => {
    const seen = seenAt(frame, icrs);
    const at = seen[2] > 0 ? toPlan(projection, ...seen) : null;
    return at && [toMm(at.xUm), toMm(at.yUm)];
  };
  const middle = middleOf(catalog, name);
  const spot = place(middle);
  const above = place(stepUp(middle, upOf(frame.place.latDeg, declinationDeg(middle))));
  if (spot === null || above === null) return null;
  const { cos, sin } = turnedAt(seatMm, spot, above);
  return { name, wall: wallFaced(ceiling, seatMm, spot), turnedDeg: Math.round(atan2Deg(sin, cos)) };
}
