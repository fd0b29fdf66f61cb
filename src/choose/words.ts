import type { Moment } from "../job/sections/sky.ts";
import type { Pass } from "../job/writtenTime.ts";
import { resolveMoment } from "../sky/time.ts";
import type { NightFacts } from "./facts.ts";

/** "A", "A and B", "A, B and C". */
export function listed(names: readonly string[]): string {
  if (names.length < 2) return names[0] ?? "";
  return `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}

/** Sixteen points of the compass; azimuth in degrees from north through east. */
const POINTS = "N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW".split(" ");
export function compassPoint(azimuthDeg: number): string {
  return POINTS[((Math.round(azimuthDeg / 22.5) % 16) + 16) % 16]!;
}

/** Which pass is meant of an hour that the clock showed twice; "" of any other. */
export function passOf(moment: Moment): Pass {
  if (!("local" in moment) || moment.occurrence === undefined) return "";
  const [earlier, later] = (["earlier", "later"] as const).map((occurrence) =>
    resolveMoment({ ...moment, occurrence }),
  );
  if (earlier!.jdUt === later!.jdUt) return "";
  return moment.occurrence === "earlier" ? "first" : "second";
}

/** "32 %". */
export function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}

const MOST_NAMED = 4;

/** "Vega, Deneb and 2 more", "none of magnitude 3 or brighter; left out by hand: Altair". */
export function lostWords({
  lostBright,
  omittedBright,
}: Pick<NightFacts, "lostBright" | "omittedBright">): string {
  const lost = lostBright.length === 0 ? "none of magnitude 3 or brighter" : named(lostBright);
  return omittedBright.length === 0 ? lost : `${lost}; left out by hand: ${named(omittedBright)}`;
}

function named(stars: NightFacts["lostBright"]): string {
  const names = stars.slice(0, MOST_NAMED).map((s) => s.name || `HIP ${s.star}`);
  const more = stars.length - names.length;
  return more > 0 ? `${names.join(", ")} and ${more} more` : listed(names);
}

/** "zenith", "S, 50° high". */
export function viewWords(view: { azimuthDeg: number; altitudeDeg: number }): string {
  if (view.altitudeDeg >= 89.5) return "the zenith";
  return `the ${compassPoint(view.azimuthDeg)}, ${Math.round(view.altitudeDeg)}° high`;
}
