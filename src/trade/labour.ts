import { COMMON_PRACTICE, type Fact } from "./fact.ts";

const rate = (what: string, value: number, unit: string) => ({ what, value, unit, source: COMMON_PRACTICE });

/** How long things take: nobody published it; the user's own rates take their place. */
export const LABOUR_FACTS = {
  surveyH: {
    ...rate("Survey and map, for each 60 tiles", 3, "h"),
    range: [2, 4],
    key: "takeoff.rates.surveyH",
  },
  takeDownTilesPerH: {
    ...rate("Take down, number, stack; two people", 25, "tiles/h"),
    range: [20, 30],
    key: "takeoff.rates.takeDownTilesPerH",
  },
  cleanTilesPerH: {
    ...rate("Strip and clean", 15, "tiles/h"),
    range: [10, 20],
    key: "takeoff.rates.cleanTilesPerH",
  },
  wrapTilesPerH: {
    ...rate("Spray and wrap alone, tiles of 24 in", 5, "tiles/h"),
    range: [4, 6],
    key: "takeoff.rates.wrapTilesPerH",
  },
  wrapTilesPerHTwo: {
    ...rate("Spray and wrap by two, tiles of 24 in", 9, "tiles/h"),
    range: [8, 10],
    key: "takeoff.rates.wrapTilesPerHTwo",
  },
  templateMinPerTile: {
    ...rate("Tape the template, check it square", 10, "min/tile"),
    key: "takeoff.rates.templateMinPerTile",
  },
  templateMinPerSheet: {
    ...rate(
      "Place one sheet of a template, prick it, tape it, take it off (our own estimate)",
      2.5,
      "min/sheet",
    ),
    key: "takeoff.rates.templateMinPerSheet",
  },
  listedMinPerHole: {
    ...rate(
      "Measure a hole from the coordinate list: two distances, a prick (our own estimate)",
      1,
      "min/hole",
    ),
    key: "takeoff.rates.listedMinPerHole",
  },
  pokeHolesPerH: {
    ...rate("Punch holes", 90, "holes/h"),
    range: [60, 120],
    key: "takeoff.rates.pokeHolesPerH",
  },
  threadStrandsPerH: {
    ...rate("Thread and seat", 80, "strands/h"),
    range: [60, 100],
    key: "takeoff.rates.threadStrandsPerH",
  },
  glueDotsPerH: { ...rate("Glue dots", 150, "dots/h"), range: [100, 200], key: "takeoff.rates.glueDotsPerH" },
  labelMinPerTile: {
    ...rate("Label and tie a tail", 12.5, "min/tile"),
    range: [10, 15],
    key: "takeoff.rates.labelMinPerTile",
  },
  portH: { ...rate("Bundle and common end, each port", 1.5, "h"), range: [1, 2], key: "takeoff.rates.portH" },
  portSPerStrand: {
    ...rate("Common end, on top for each strand", 15, "s"),
    key: "takeoff.rates.portSPerStrand",
  },
  rehangTilesPerH: {
    ...rate("Re-hang and route; two people", 10, "tiles/h"),
    range: [8, 12],
    key: "takeoff.rates.rehangTilesPerH",
  },
  snipEndsPerH: {
    ...rate("Snip and look up", 300, "ends/h"),
    range: [200, 400],
    key: "takeoff.rates.snipEndsPerH",
  },
  darkTestH: { ...rate("Dark test and fixing", 3, "h"), range: [2, 4], key: "takeoff.rates.darkTestH" },
  revisited: {
    ...rate("Strands done again after the dark test", 0.05, "share"),
    key: "takeoff.rates.revisited",
  },
  strandsPerPersonH: {
    ...rate("From punching to the dark test, a first job", 25, "strands/h"),
    range: [20, 30],
  },
} as const satisfies Record<string, Fact>;
