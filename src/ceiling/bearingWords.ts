import type { BearingFrom } from "../job/sections/ceiling.ts";

const HOW: Record<Exclude<BearingFrom, "not-measured">, string> = {
  given: "as given",
  needle: "by a magnetic compass",
  shadow: "by the Sun's shadow",
  drawing: "by the north arrow of the drawing",
};

/** The bearing of the plan's top edge and how it is known, for people: `341° true, by a magnetic compass (17.2° west corrected)`. */
export function bearingWords(ceiling: {
  bearingDeg: number;
  bearingFrom: BearingFrom;
  magneticDeclinationDeg?: number | undefined;
}): string {
  const { bearingFrom, magneticDeclinationDeg: declination } = ceiling;
  const deg = Math.round(ceiling.bearingDeg * 100) / 100 + 0;
  if (bearingFrom === "not-measured") return `not measured; ${deg}° true is assumed`;
  const corrected =
    bearingFrom === "needle" && declination !== undefined
      ? ` (${Math.round(Math.abs(declination) * 10) / 10}° ${declination < 0 ? "west" : "east"} corrected)`
      : "";
  return `${deg}° true, ${HOW[bearingFrom]}${corrected}`;
}
