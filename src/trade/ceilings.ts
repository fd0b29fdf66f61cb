import { COMMON_PRACTICE, FROM_MEMORY, type Fact } from "./fact.ts";

const LIFT = "engineerfix.com, minimum clearance for a drop ceiling";
const TEES = "archtoolbox.com, acoustic ceiling tiles";

/** Tiles, tees and what they carry. */
export const CEILING_FACTS = {
  inchModuleMm: {
    what: "Inch module, 24 in centre to centre of tees",
    value: 609.6,
    unit: "mm",
    source: TEES,
  },
  metricModuleMm: {
    what: "Metric module, centre to centre of tees",
    value: 600,
    unit: "mm",
    source: `ISO 1040 (6M), ${FROM_MEMORY}`,
  },
  germanModuleMm: {
    what: "Metric module of German-speaking and nearby markets",
    value: 625,
    unit: "mm",
    source: FROM_MEMORY,
  },
  ceilingHeightMm: {
    what: "Floor to ceiling, until it is measured",
    value: 2700,
    unit: "mm",
    source: COMMON_PRACTICE,
    key: "ceiling.assumedHeightMm",
  },
  inchSlackMm: {
    what: "Inch tiles are smaller than their module by 1/4 in",
    value: 6.35,
    unit: "mm",
    source: `${FROM_MEMORY}, and ${COMMON_PRACTICE}: measure three tiles`,
  },
  metricSlackMm: {
    what: "Metric tiles are smaller than their module by",
    value: 5,
    unit: "mm",
    source: `${FROM_MEMORY}, and ${COMMON_PRACTICE}: measure three tiles`,
  },
  wideTeeMm: {
    what: "Face of the wide tee, 15/16 in",
    value: 24,
    unit: "mm",
    source: TEES,
    key: "ceiling.grid.teeFaceMm",
  },
  narrowTeeMm: { what: "Face of the narrow tee, 9/16 in", value: 15, unit: "mm", source: TEES },
  wallAngleMm: {
    what: "Face of the usual wall angle, 7/8 in",
    value: 22,
    unit: "mm",
    source: COMMON_PRACTICE,
    key: "ceiling.grid.wallAngleMm",
  },
  seismicWallAngleMm: {
    what: "Face of the wall angle in US seismic design categories D to F, 2 in",
    value: 51,
    unit: "mm",
    source: "ASTM E580",
  },
  seismicLeastSqFt: {
    what: "Ceilings within four walls up to this area are treated apart in earthquake rules",
    value: 144,
    unit: "sq ft",
    source: "ASTM E580",
  },
  sightMarginMm: {
    what: "No hole nearer than this to the flange that hides it",
    value: 5,
    unit: "mm",
    source: COMMON_PRACTICE,
  },
  thicknessMm: {
    what: "Thickness of a tile, 5/8 in",
    value: 16,
    unit: "mm",
    range: [12, 25],
    source: FROM_MEMORY,
    key: "ceiling.grid.thicknessMm",
  },
  liftMm: {
    what: "Free height above the grid to lift a tile out at all",
    value: 75,
    unit: "mm",
    source: LIFT,
  },
  liftEasyMm: {
    what: "Free height above the grid to lift a tile out with ease",
    value: 100,
    unit: "mm",
    range: [100, 150],
    source: LIFT,
  },
  mainSpacingMm: {
    what: "Main runners stand apart, 4 ft",
    value: 1219.2,
    unit: "mm",
    source: "ASTM C635 and C636",
    key: "takeoff.grid.mainSpacingMm",
  },
  lightDutyKgPerM: {
    what: "Load that bends a light-duty main runner by 1/360 of 4 ft",
    value: 7.4,
    unit: "kg/m",
    source: "ASTM C635 (5 lb/ft)",
  },
  intermediateDutyKgPerM: {
    what: "Load that bends an intermediate-duty main runner by 1/360 of 4 ft",
    value: 17.9,
    unit: "kg/m",
    source: "ASTM C635 (12 lb/ft)",
  },
  heavyDutyKgPerM: {
    what: "Load that bends a heavy-duty main runner by 1/360 of 4 ft",
    value: 23.8,
    unit: "kg/m",
    source: "ASTM C635 (16 lb/ft)",
  },
  tileKgPerM2: {
    what: "Weight of a mineral-fibre tile: weigh one",
    value: 4.5,
    unit: "kg/m2",
    range: [3, 6.5],
    source: FROM_MEMORY,
    key: "takeoff.grid.tileKgPerM2",
  },
} as const satisfies Record<string, Fact>;
