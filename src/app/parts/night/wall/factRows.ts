import { lostWords, percent } from "../../../../choose/words.ts";
import type { NightFacts } from "../worker/api.ts";
import { bodyName } from "../words.ts";

/** The same facts beneath every night that is compared, in the same order. */
export const FACT_ROWS: readonly { name: string; words: (facts: NightFacts) => string }[] = [
  { name: "On the ceiling", words: ({ standing }) => standing.join("; ") || "no figure as a whole" },
  { name: "Moon and planets", words: bodies },
  { name: "Sun", words: (f) => `${Math.round(f.sunAltitudeDeg)}°`.replace("-", "\u2212") },
  { name: "Milky Way", words: (f) => `on ${percent(f.milkyWayShare)} of the ceiling` },
  { name: "Bright stars lost", words: lostWords },
  {
    name: "True to the sky",
    words: (f) =>
      `${percent(f.lightKept)} of its light; ${f.figuresWhole} of ${f.figuresOnCeiling} constellations whole; ` +
      `bright stars moved ${f.brightMovedMm.toFixed(0)} mm, the farthest ${f.maxMovedMm.toFixed(0)} mm`,
  },
  {
    name: "Faintest star",
    words: (f) => (f.faintest === null ? "none" : `magnitude ${f.faintest.toFixed(1)}`),
  },
  {
    name: "Strands",
    words: (f) =>
      `${f.holes}: ${f.strands.map((s) => `${s.count} of ${s.diameterMm} mm`).join(", ")}; ${f.filler} of them filler`,
  },
  {
    name: "Punching",
    words: (f) =>
      `${Math.round(f.punchingHours.from)} to ${Math.round(f.punchingHours.to)} hours, ${f.tiles} tiles`,
  },
];

function bodies({ bodies }: NightFacts): string {
  const named = bodies.map((b) => {
    const lit = b.name === "moon" ? ` (${percent(b.lit)} lit)` : "";
    return `${bodyName(b.name)}${lit}${b.onCeiling ? "" : ", off the ceiling"}`;
  });
  return named.length === 0 ? "none is up" : named.join("; ");
}
