import type { Job } from "./schema.ts";
import { NO_GO, type NoGoKindRow } from "./noGoKinds.ts";
import { REGIONS, regionOf, type Region } from "./region.ts";
import { COMMON_PRACTICE } from "../trade/fact.ts";
import { FACTS } from "../trade/facts.ts";

/** Something a person must settle before or during the work. The tool warns; people decide. */
export interface Caution {
  /** Stable word for tests and shells. */
  code: string;
  title: string;
  text: string;
  /** Clause or publication to look up (the edition in force decides), or "common practice, no source". */
  source: string;
}

/** Printed under every list of cautions. */
export const WHO_DECIDES =
  "These notes are pointers, not permission. The local code in its edition in force, the authority having " +
  "jurisdiction, the insurer, the owners of the sprinkler and alarm systems and licensed trades decide. What to " +
  "look up goes by the place of the chosen night: a room elsewhere has codes of its own.";

interface Rule extends Omit<Caution, "source"> {
  when: (job: Job) => boolean;
  /** Where to look: the same everywhere, or by region. */
  source: string | (Record<Region, string> & { everywhere?: string });
}

const MEMORY = "(from memory)";

/** Whether some thing of the survey is of a kind that brings this caution along. */
const brought =
  (caution: NoGoKindRow["caution"]) =>
  (job: Job): boolean =>
    job.ceiling.noGo.some(({ kind }) => NO_GO[kind].caution === caution);
const always = (): boolean => true;
const SQUARE_FOOT_MM2 = 304.8 ** 2;

const RULES: readonly Rule[] = [
  {
    code: "sprinkler",
    title: "Sprinkler heads",
    text:
      "Leave heads, cover plates and escutcheons untouched: no paint, glue, fabric or strand on or under " +
      "them, and no sealed gap. Fabric or another tile changes the distance from deflector to ceiling. A tile " +
      "taken down can impair the head: refit daily, or tell the building and its insurer. Only a licensed " +
      "sprinkler contractor moves a head. The clearance drawn is a shop rule until the system's owner agrees.",
    source: {
      us: "NFPA 13 and NFPA 25",
      gb: `BS EN 12845 and the insurer's rules ${MEMORY}`,
      eu: `EN 12845 and national rules ${MEMORY}`,
      everywhere: "clearance: " + COMMON_PRACTICE,
    },
    when: (job) => brought("sprinkler")(job) || job.ceiling.survey.sprinklered === "yes",
  },
  {
    code: "sprinkler-unknown",
    title: "Are there sprinklers?",
    text: "The survey does not say. Find out, and who owns the system, before a tile comes down.",
    source: {
      us: "NFPA 25",
      gb: `BS EN 12845 ${MEMORY}`,
      eu: `EN 12845 ${MEMORY}`,
      everywhere: COMMON_PRACTICE,
    },
    when: (job) => job.ceiling.survey.sprinklered === "unknown" && !brought("sprinkler")(job),
  },
  {
    code: "fire-detector",
    title: "Smoke and heat detectors",
    text:
      "Never cover, paint, recess or move a detector. Bag it only while dust is made, and log when the bag " +
      "comes off. A new position is work for the fire alarm contractor; whoever monitors the alarm is told first.",
    source: {
      us: "NFPA 72, chapter 17 and annex A",
      gb: `BS 5839-1 ${MEMORY}`,
      eu: `EN 54 and national rules for fire alarms ${MEMORY}`,
    },
    when: brought("fire-detector"),
  },
  {
    code: "motion-detector",
    title: "Motion and occupancy detectors",
    text:
      "A motion detector belongs to the intruder alarm or to the lighting, not to the fire alarm. Keep its face and " +
      "its view clear. Whoever monitors the alarm is told before anybody works near it; its own contractor moves it.",
    source: {
      us: `UL 681 ${MEMORY}`,
      gb: `BS EN 50131 and PD 6662 ${MEMORY}`,
      eu: `EN 50131 ${MEMORY}`,
      everywhere: COMMON_PRACTICE,
    },
    when: brought("motion-detector"),
  },
  {
    code: "emergency",
    title: "Emergency lights, signs, cameras, loudspeakers",
    text: "Keep face, field of view, access and label clear; nothing that glows may compete with an exit sign.",
    source: COMMON_PRACTICE,
    when: brought("emergency"),
  },
  {
    code: "luminaire",
    title: "Luminaires in the grid",
    text:
      "Luminaires hang on their own supports: do not re-hang them yourself. Keep strand and hot-melt glue " +
      `away from their heat (strand stays below ${FACTS.strandMostC.value} °C).`,
    source: {
      us: "NEC 410.36",
      gb: `BS 7671, section 559 ${MEMORY}`,
      eu: `HD 60364-5-559 ${MEMORY}`,
      everywhere: `temperature: ${FACTS.strandMostC.source}`,
    },
    when: brought("luminaire"),
  },
  {
    code: "air",
    title: "Diffusers and hatches",
    text: "Whoever services the air system must still reach and open them: leave their tiles liftable and free of tails.",
    source: { us: "NEC 300.23 (access)", gb: "", eu: "", everywhere: COMMON_PRACTICE },
    when: brought("air"),
  },
  {
    code: "return-air-void",
    title: "The void carries return air",
    text:
      "Bare lighting strand burns and is usually not listed for such a void: do not count on it being " +
      "allowed. Optical fibre there must be plenum-rated or run in metal raceway. Ask the authority having " +
      "jurisdiction before ordering.",
    source: {
      us: "IMC 602.3.3; NFPA 90A 4.3.10.2; NEC 300.22(C) and Article 770 (722 from 2026)",
      gb: `Approved Document B; BS 9999; BS 7671, chapter 42 ${MEMORY}`,
      eu: `national rules for ventilation; cable classes of EN 50575 ${MEMORY}`,
    },
    when: (job) => job.ceiling.survey.returnAirVoid === "yes",
  },
  {
    code: "void-unknown",
    title: "Does the void carry return air?",
    text:
      "The survey does not say, and this is a stop-or-go question: bare lighting strand is usually not listed " +
      "for an air-handling void. Find out before ordering.",
    source: {
      us: "IMC 602.3.3; NEC 300.22(C)",
      gb: `Approved Document B; BS 9999 ${MEMORY}`,
      eu: `national rules for ventilation; EN 50575 ${MEMORY}`,
    },
    when: (job) => job.ceiling.survey.returnAirVoid === "unknown",
  },
  {
    code: "fire-rated",
    title: "Fire-rated ceiling",
    text:
      "The rating belongs to the whole tested assembly: covering or punching its tiles ends it. Do not start " +
      "without a letter from the designer responsible.",
    source: {
      us: "listing of the tested assembly (ASTM E119 / UL 263)",
      gb: `test report of the assembly (BS EN 13501-2, BS 476) ${MEMORY}`,
      eu: `test report of the assembly (EN 13501-2) ${MEMORY}`,
    },
    when: (job) => job.ceiling.survey.fireRated === "yes",
  },
  {
    code: "fire-rated-unknown",
    title: "Is the ceiling fire-rated?",
    text: "The survey does not say. Look for marks on the backs of tiles and clips, and ask for the drawings.",
    source: COMMON_PRACTICE,
    when: (job) => job.ceiling.survey.fireRated === "unknown",
  },
  {
    code: "asbestos",
    title: "Old tiles and adhesive",
    text:
      "Built (or last refitted) at a time when ceiling tiles, adhesive and coatings could hold asbestos, or " +
      "the year is not known. Have a survey or test in hand before a tile is lifted, cut, punched or scraped; " +
      "dust lying on old tiles counts too.",
    source: FACTS.asbestosYear.source,
    when: (job) =>
      job.ceiling.survey.builtYear === null || job.ceiling.survey.builtYear < FACTS.asbestosYear.value,
  },
  {
    code: "seismic",
    title: "Gap at the wall",
    text:
      "Where earthquake rules apply, the grid must slide at its free walls: nothing may be glued, pinned or " +
      "stuffed between tile, grid and wall.",
    source: {
      us: "ASTM E580 (ceilings up to 144 sq ft within four walls are treated apart)",
      gb: `BS EN 1998 where it applies ${MEMORY}`,
      eu: `EN 1998 and its national annex ${MEMORY}`,
    },
    when: (job) => outlineAreaMm2(job) > FACTS.seismicLeastSqFt.value * SQUARE_FOOT_MM2,
  },
  {
    code: "supports",
    title: "Supports and access",
    text:
      "Bundles hang on supports of their own, not on the grid or its wires, and do not lie on tiles; every " +
      "tile must still lift out. Plastic ties alone are no support in a fire.",
    source: { us: "NEC 300.11, 300.23, 770.21", gb: "BS 7671 521.10.202", eu: `HD 60364-5-52 ${MEMORY}` },
    when: always,
  },
  {
    code: "power",
    title: "Power for the light engines",
    text:
      "Flexible cords are not for the space above a suspended ceiling. Put engines where they are reached and " +
      "ventilated; a licensed electrician supplies them; use listed or certified equipment.",
    source: {
      us: "NEC 400.12, 110.3(B), 411",
      gb: `BS 7671; BS EN 60598 ${MEMORY}`,
      eu: `HD 60364; EN 60598 ${MEMORY}`,
    },
    when: always,
  },
  {
    code: "finish",
    title: "Fabric as a ceiling finish",
    text:
      "Fabric, adhesive and tile count together as tested. Keep the certificate of the fabric, the data of " +
      "adhesive and tile, and a note whether the combination was tested; a drapery test is not a finish test.",
    source: {
      us: "IBC 803 (ASTM E84 / UL 723, room-corner test); NFPA 701",
      gb: `Approved Document B (linings), BS EN 13501-1 ${MEMORY}`,
      eu: `EN 13501-1 and national rules for linings ${MEMORY}`,
    },
    when: always,
  },
  {
    code: "ladders",
    title: "Ladders and work overhead",
    text:
      "Not on the top cap or top step; more than half an hour in one place asks for a platform. Punch, thread, " +
      "glue and snip on a bench where you can: arms above the shoulder wear them out. Long tiles take two people.",
    source: {
      us: "29 CFR 1926.1053(b)",
      gb: "Work at Height Regulations 2005 and HSE guidance on ladders",
      eu: `Directive 2009/104/EC, annex II ${MEMORY}`,
      everywhere: "two people: " + COMMON_PRACTICE,
    },
    when: always,
  },
  {
    code: "spray",
    title: "Spray adhesive",
    text:
      "Extremely flammable aerosol: no flame, spark or hot glue gun near it, and air moving. Spray in the " +
      "workshop, never in a room with sprinkler heads or detectors. Strands go in after the solvent has gone (a day).",
    source: "hazard statements H222, H229, H315, H319, H336; waiting time: from memory",
    when: always,
  },
  {
    code: "hot-glue",
    title: "Hot glue",
    text: `Low-temperature gun (about ${FACTS.hotGlueC.value} °C), small dots, gloves, water at hand. Hotter glue dents thin strand.`,
    source: COMMON_PRACTICE,
    when: always,
  },
  {
    code: "weight",
    title: "Weight and sag",
    text:
      "Velvet, glue and strands add weight to every tile and to the grid. Weigh a finished tile, look along it for " +
      "sag after a day, and ask whoever made the grid what it carries; wet glue bows mineral tiles.",
    source: {
      us: "ASTM C635 and C636",
      gb: `BS EN 13964 ${MEMORY}`,
      eu: `EN 13964 ${MEMORY}`,
      everywhere: "weighing a tile: " + COMMON_PRACTICE,
    },
    when: always,
  },
  {
    code: "landlord",
    title: "Whose ceiling it is",
    text:
      "Landlord, building manager and insurer have a say in a changed ceiling, and may want it back as it was. Ask " +
      "before a tile comes down, and keep the answer.",
    source: COMMON_PRACTICE,
    when: always,
  },
  {
    code: "flicker",
    title: "Twinkle that flickers",
    text:
      "Light that flashes more than three times a second can bring on a seizure in some people. Set the twinkle " +
      "slower, and tell the client where it is switched off.",
    source: "three flashes a second: WCAG 2.2, success criterion 2.3.1",
    when: always,
  },
  {
    code: "laser",
    title: "Laser light sources",
    text:
      "Some light engines hold a laser. Read its class on the label before a port is opened or a strand is looked " +
      "into; classes above 2 are for trained people, and dust caps stay on until strands are in.",
    source: `IEC 60825-1 ${MEMORY}`,
    when: always,
  },
  {
    code: "dust-and-eyes",
    title: "Dust, slivers, bright ports",
    text:
      "Mask, glasses and gloves when mineral or glass fibre is cut or punched; vacuum, no sweeping. Strand " +
      "offcuts spring: glasses and a tray. Do not look into a lit port or common end.",
    source: `IEC 62471 (classes of the light engine) ${MEMORY}; rest ${COMMON_PRACTICE}`,
    when: always,
  },
];

/** The cautions that fit this job, the ones of its own facts first; what to look up is that of the place's region, or all. */
export function cautionsFor(job: Job): Caution[] {
  const region = regionOf(job);
  return RULES.filter((rule) => rule.when(job)).map(({ code, title, text, source }) => ({
    code,
    title,
    text,
    source: typeof source === "string" ? source : lookUp(source, region),
  }));
}

function lookUp(source: Exclude<Rule["source"], string>, region: Region | null): string {
  const regions = region ? [region] : (Object.keys(REGIONS) as Region[]);
  const named = regions
    .filter((each) => source[each] !== "")
    .map((each) => `${REGIONS[each]}: ${source[each]}`);
  return [...named, ...(source.everywhere ? [source.everywhere] : [])].join("; ");
}

function outlineAreaMm2(job: Job): number {
  const ring = job.ceiling.outlineMm;
  let twice = 0;
  ring.forEach(([x, y], i) => {
    const [nextX, nextY] = ring[(i + 1) % ring.length] as [number, number];
    twice += x * nextY - nextX * y;
  });
  return Math.abs(twice) / 2;
}
