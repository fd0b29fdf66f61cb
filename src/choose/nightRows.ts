import { LIKENESS_ROWS } from "../pattern/likenessWords.ts";
import type { LengthUnits } from "../job/units.ts";
import { FACTS } from "../trade/facts.ts";
import type { NightFacts } from "./facts.ts";
import { listed, lostWords, percent } from "./words.ts";

/** One thing told of a night: the same words on boards and beneath the pictures of the studio. */
export interface NightRow {
  name: string;
  /** Beneath what a client asks, smaller. */
  forInstaller?: true;
  /** What somebody should know before choosing. */
  warns?: true;
  /** "" where there is nothing to tell. */
  words: (facts: NightFacts, units: LengthUnits) => string;
}

const MOST_FIGURES = 4;
const capital = (words: string): string => words[0]!.toUpperCase() + words.slice(1);

/** What a client asks first, then how like the sky the ceiling will be, then what an installer asks. */
export const NIGHT_ROWS: readonly NightRow[] = [
  {
    name: "Constellations",
    words: (f) => f.standing.slice(0, MOST_FIGURES).join("; ") || "None as a whole",
  },
  { name: "Moon, planets", words: bodyWords },
  { name: "Milky Way", words: (f) => `Crosses ${percent(f.milkyWayShare)} of the ceiling` },
  { name: "Left out", words: (f) => `Under no-go zones: ${lostWords(f)}` },
  { name: "Note", warns: true, words: (f) => f.warnings.join(" ") },
  ...LIKENESS_ROWS.map((row) => ({
    name: row.name,
    words: (f: NightFacts, units: LengthUnits) => row.words(f.like, units),
  })),
  {
    name: "Kept",
    forInstaller: true,
    words: (f) =>
      `${percent(f.lightKept)} of the sky's light; ${f.figuresWhole} of ${f.figuresOnCeiling} constellations whole; ` +
      (f.faintest === null ? "" : `stars to magnitude ${f.faintest.toFixed(1)}; `) +
      `Sun ${f.sunAltitudeDeg.toFixed(0)}°`.replace("-", "\u2212"),
  },
  {
    name: "Strands",
    forInstaller: true,
    words: (f) =>
      `${f.strands.map((s) => `${s.count} × ${s.diameterMm} mm`).join(", ")} in ${f.holes} holes, ${f.filler} of them filler`,
  },
  {
    name: "Punching",
    forInstaller: true,
    words: (f) => {
      const [slow, fast] = FACTS.pokeHolesPerH.range;
      return `${Math.round(f.punchingHours.from)} to ${Math.round(f.punchingHours.to)} hours at ${slow} to ${fast} holes an hour, ${f.tiles} tiles`;
    },
  },
];

function bodyWords({ bodies }: NightFacts): string {
  if (bodies.length === 0) return "None above the horizon";
  return listed(
    bodies.map((b) => {
      const lit = b.name === "moon" ? `, ${percent(b.lit)} lit` : "";
      return `${capital(b.name)}${lit}${b.onCeiling ? "" : " (up, not on the ceiling)"}`;
    }),
  );
}
