import { COMMON_PRACTICE, FROM_MEMORY, type Fact } from "./fact.ts";

/** What people see, and from where. */
export const EYE_FACTS = {
  extinctionMag: {
    what: "Light lost in clear air at sea level, for each air mass",
    value: 0.28,
    unit: "mag",
    source: "Green's table, International Comet Quarterly (icq.eps.harvard.edu/ICQExtinct.html)",
  },
  nakedEyeMag: {
    what: "Faintest star that a keen eye sees in a dark place",
    value: 6.5,
    unit: "mag",
    range: [6, 6.5],
    source: "doi 10.1201/9781420033441-18",
  },
  acuityArcmin: {
    what: "Details smaller than this are a point to the eye: 0.29 mm at a metre",
    value: 1,
    unit: "arcmin",
    source: `ISO 8596, ${FROM_MEMORY}`,
  },
  spacingMm: {
    what: "Nearer holes tear the fabric and read as one",
    value: 8,
    unit: "mm",
    range: [6, 8],
    source: COMMON_PRACTICE,
    key: "pattern.spacingMm",
  },
  dimmer: {
    what: "Sizes show best when the engines are dimmed",
    value: 0.5,
    unit: "share",
    source: COMMON_PRACTICE,
    key: "scene.dimmer",
  },
  twinkleShare: {
    what: "Strands that fade on a calm ceiling",
    value: 0.2,
    unit: "share",
    range: [0.1, 0.3],
    source: COMMON_PRACTICE,
    key: "scene.twinkle.share",
  },
  fadeSlowestHz: { what: "Slowest fade that looks natural", value: 0.1, unit: "Hz", source: COMMON_PRACTICE },
  fadeFastestHz: { what: "Fastest fade that looks calm", value: 1, unit: "Hz", source: COMMON_PRACTICE },
  seatedEyeMm: {
    what: "Eye above the floor, seated",
    value: 1200,
    unit: "mm",
    source: COMMON_PRACTICE,
    key: "scene.seats[].eyeMm",
  },
  lyingEyeMm: { what: "Eye above the floor, lying down", value: 300, unit: "mm", source: COMMON_PRACTICE },
  usualStrandM: {
    what: "Length of a strand where no bundle tells it",
    value: 4,
    unit: "m",
    source: COMMON_PRACTICE,
    key: "scene.lengthM",
  },
} as const satisfies Record<string, Fact>;
