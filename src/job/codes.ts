/** What a warning or fault is about: the panels and pages that show some of them ask for a subject. */
export type Subject =
  | "document"
  | "survey"
  | "sky"
  | "pattern"
  | "stars lost"
  | "unbundled"
  | "engine place"
  | "engines"
  | "sharing"
  | "void"
  | "stuck tiles"
  | "light"
  | "fabric"
  | "weight"
  | "hours"
  | "price"
  | "lengths"
  | "issue"
  | "papers"
  | "record";

/**
 * Every stable word that a warning, or a fault of bundles and takeoff, may carry, with its subject. Tests, shells
 * and other programs may rely on these words: one is never renamed, and a new one needs a line here to be said.
 */
export const CODES = {
  fault: "document",
  "unknown-key": "document",

  "bearing-not-measured": "survey",
  "module-nearly-standard": "survey",
  "narrow-border": "survey",
  "no-go-not-agreed": "survey",
  "no-go-refused": "survey",
  "origin-elsewhere": "survey",
  "size-not-measured": "survey",
  slivers: "survey",
  "tile-bearing": "survey",
  "tile-lift": "survey",
  "tile-takes-no-hole": "survey",
  "too-many-wall-names": "survey",
  "zone-outside-room": "survey",

  "astronomical-twilight": "sky",
  "civil-twilight": "sky",
  "nautical-twilight": "sky",
  "never-dark": "sky",
  "offset-by-hand": "sky",
  "sun-is-up": "sky",
  "zone-history-merged": "sky",

  "empty-sky": "pattern",
  "needs-deep-catalog": "pattern",
  "bright-reach-shorter": "pattern",
  "reach-too-far": "pattern",
  "sky-in-a-small-circle": "pattern",
  "spacing-too-wide": "pattern",
  "ladder-uneven": "pattern",
  shortfall: "pattern",
  "wide-holes": "pattern",
  "bright-star-lost": "stars lost",
  "by-hand-not-kept": "stars lost",
  "pinned-far": "stars lost",
  "figure-not-whole": "stars lost",
  "figure-drowned": "pattern",
  "edges-show": "pattern",
  "spread-unnatural": "pattern",

  "no-engines": "unbundled",
  "engine-outside": "engine place",
  "no-room": "engines",
  "no-such-strand": "engines",
  "too-short": "engines",
  "kit-overfills-port": "sharing",
  "no-solver": "sharing",
  "not-equal-parts": "sharing",
  "solver-failed": "sharing",
  "tiles-split": "sharing",
  "time-limit": "sharing",
  "unknown-name": "sharing",
  "bend-too-tight": "void",
  "no-way": "void",
  "runs-over-plain-tile": "void",
  "runs-too-high": "void",
  "tile-cannot-lift": "stuck tiles",
  "tile-lifts-hard": "void",
  "void-not-measured": "void",
  "colour-drift": "light",
  "figure-loses-unevenly": "light",
  "length-compensated": "light",

  "blank-too-wide": "fabric",
  "load-class-unknown": "weight",
  "much-added": "weight",
  "tile-too-heavy": "weight",
  "zero-rate": "hours",
  "no-price": "price",
  "lengths-assumed": "lengths",

  "begun-kept": "issue",
  "begun-not-issued": "issue",
  "issued-kept": "issue",
  "issued-misfit": "survey",
  "issued-strands": "issue",
  "issued-engine": "engines",

  "characters-not-in-font": "papers",
  "revision-not-raised": "papers",

  "clock-off": "record",
} as const satisfies Record<string, Subject>;
export type Code = keyof typeof CODES;

/** Those of a list that are about one of the subjects. */
export function about<T extends { code: Code }>(list: readonly T[] | undefined, ...subjects: Subject[]): T[] {
  return (list ?? []).filter(({ code }) => subjects.includes(CODES[code]));
}
