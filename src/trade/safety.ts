import { COMMON_PRACTICE, FROM_MEMORY, type Fact } from "./fact.ts";

/** Numbers inside the cautions. The edition of each rule in force, and whoever answers for it, decide. */
export const SAFETY_FACTS = {
  asbestosYear: {
    what: "Buildings from before this year may hold asbestos in tiles and adhesive",
    value: 2000,
    unit: "",
    source: "29 CFR 1926.1101 and 40 CFR 61 M (to 1980); HSG264 (before 2000)",
  },
  strandMostC: { what: "Strand stays below", value: 70, unit: "\u00B0C", source: FROM_MEMORY },
  hotGlueC: {
    what: "A low-temperature glue gun melts at about",
    value: 120,
    unit: "\u00B0C",
    source: COMMON_PRACTICE,
  },
  flashesMostHz: {
    what: "Light that flashes faster may bring on a fit in some people",
    value: 3,
    unit: "Hz",
    source: "W3C, WCAG 2.2, success criterion 2.3.1",
  },
} as const satisfies Record<string, Fact>;
