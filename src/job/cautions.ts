import type { Job } from "./schema.ts";
import type { NoGoKind } from "./sections/ceiling.ts";
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
  "jurisdiction, the insurer, the owners of the sprinkler and alarm systems and licensed trades decide.";

interface Rule extends Caution {
  when: (job: Job) => boolean;
}

const hasKind =
  (...kinds: NoGoKind[]) =>
  (job: Job): boolean =>
    job.ceiling.noGo.some((n) => kinds.includes(n.kind));
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
    source: "NFPA 13 and NFPA 25; BS EN 12845; clearance: " + COMMON_PRACTICE,
    when: (job) => hasKind("sprinkler")(job) || job.ceiling.survey.sprinklered === "yes",
  },
  {
    code: "sprinkler-unknown",
    title: "Are there sprinklers?",
    text: "The survey does not say. Find out, and who owns the system, before a tile comes down.",
    source: "NFPA 25; " + COMMON_PRACTICE,
    when: (job) => job.ceiling.survey.sprinklered === "unknown" && !hasKind("sprinkler")(job),
  },
  {
    code: "detector",
    title: "Smoke and motion detectors",
    text:
      "Never cover, paint, recess or move a detector. Bag it only while dust is made, and log when the bag " +
      "comes off. A new position is work for the fire alarm contractor.",
    source: "NFPA 72, chapter 17 and annex A",
    when: hasKind("smoke-detector", "motion-detector"),
  },
  {
    code: "emergency",
    title: "Emergency lights, signs, cameras, speakers",
    text: "Keep face, field of view, access and label clear; nothing that glows may compete with an exit sign.",
    source: COMMON_PRACTICE,
    when: hasKind("emergency-light", "exit-sign", "camera", "speaker"),
  },
  {
    code: "luminaire",
    title: "Luminaires in the grid",
    text:
      "Luminaires hang on their own supports: do not re-hang them yourself. Keep strand and hot-melt glue " +
      `away from their heat (strand stays below ${FACTS.strandMostC.value} °C).`,
    source: `NEC 410.36; temperature: ${FACTS.strandMostC.source}`,
    when: hasKind("luminaire", "future-fitting"),
  },
  {
    code: "air",
    title: "Air outlets and hatches",
    text: "Whoever services the air system must still reach and open them: leave their tiles liftable and free of tails.",
    source: "NEC 300.23 (access); " + COMMON_PRACTICE,
    when: hasKind("diffuser", "hatch"),
  },
  {
    code: "return-air-void",
    title: "The void carries return air",
    text:
      "Bare lighting strand burns and is usually not listed for such a void: do not count on it being " +
      "allowed. Optical fibre there must be plenum-rated or run in metal raceway. Ask the authority having " +
      "jurisdiction before ordering.",
    source: "IMC 602.3.3; NFPA 90A 4.3.10.2; NEC 300.22(C) and Article 770 (722 from 2026)",
    when: (job) => job.ceiling.survey.returnAirVoid === "yes",
  },
  {
    code: "void-unknown",
    title: "Does the void carry return air?",
    text:
      "The survey does not say, and this is a stop-or-go question: bare lighting strand is usually not listed " +
      "for an air-handling void. Find out before ordering.",
    source: "IMC 602.3.3; NEC 300.22(C)",
    when: (job) => job.ceiling.survey.returnAirVoid === "unknown",
  },
  {
    code: "fire-rated",
    title: "Fire-rated ceiling",
    text:
      "The rating belongs to the whole tested assembly: covering or punching its tiles ends it. Do not start " +
      "without a letter from the designer responsible.",
    source: "listing of the tested assembly (ASTM E119 / UL 263 or EN 13501-2)",
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
    source: "ASTM E580 (ceilings up to 144 sq ft within four walls are treated apart)",
    when: (job) => outlineAreaMm2(job) > FACTS.seismicLeastSqFt.value * SQUARE_FOOT_MM2,
  },
  {
    code: "supports",
    title: "Supports and access",
    text:
      "Bundles hang on supports of their own, not on the grid or its wires, and do not lie on tiles; every " +
      "tile must still lift out. Plastic ties alone are no support in a fire.",
    source: "NEC 300.11, 300.23, 770.21; BS 7671 521.10.202",
    when: always,
  },
  {
    code: "power",
    title: "Power for the light engines",
    text:
      "Flexible cords are not for the space above a suspended ceiling. Put engines where they are reached and " +
      "ventilated; a licensed electrician supplies them; use listed or certified equipment.",
    source: "NEC 400.12, 110.3(B), 411",
    when: always,
  },
  {
    code: "finish",
    title: "Fabric as a ceiling finish",
    text:
      "Fabric, adhesive and tile count together as tested. Keep the certificate of the fabric, the data of " +
      "adhesive and tile, and a note whether the combination was tested; a drapery test is not a finish test.",
    source: "IBC 803 (ASTM E84 / UL 723, room-corner test); NFPA 701; EN 13501-1",
    when: always,
  },
  {
    code: "ladders",
    title: "Ladders and work overhead",
    text:
      "Not on the top cap or top step; more than half an hour in one place asks for a platform. Punch, thread, " +
      "glue and snip on a bench where you can: arms above the shoulder wear them out. Long tiles take two people.",
    source: "29 CFR 1926.1053(b); HSE guidance on ladders; two people: " + COMMON_PRACTICE,
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
    code: "dust-and-eyes",
    title: "Dust, slivers, bright ports",
    text:
      "Mask, glasses and gloves when mineral or glass fibre is cut or punched; vacuum, no sweeping. Strand " +
      "offcuts spring: glasses and a tray. Do not look into a lit port or common end.",
    source: "IEC 62471 (classes of the light engine); rest " + COMMON_PRACTICE,
    when: always,
  },
];

/** The cautions that fit this job, the ones of its own facts first. */
export function cautionsFor(job: Job): Caution[] {
  return RULES.filter((rule) => rule.when(job)).map(({ code, title, text, source }) => ({
    code,
    title,
    text,
    source,
  }));
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
