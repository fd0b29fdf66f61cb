import { CEILING_FACTS } from "./ceilings.ts";
import { EYE_FACTS } from "./eye.ts";
import { FABRIC_FACTS } from "./fabric.ts";
import type { Fact } from "./fact.ts";
import { FIBRE_FACTS } from "./fibre.ts";
import { LABOUR_FACTS } from "./labour.ts";
import { PAPER_FACTS } from "./paper.ts";
import { SAFETY_FACTS } from "./safety.ts";

/** The register by subject, in the order in which pages list it. */
export const SUBJECTS = [
  { title: "Ceiling", facts: CEILING_FACTS },
  { title: "Strands and engines", facts: FIBRE_FACTS },
  { title: "Eye and sky", facts: EYE_FACTS },
  { title: "Fabric, glue, lengths", facts: FABRIC_FACTS },
  { title: "Hours", facts: LABOUR_FACTS },
  { title: "Paper", facts: PAPER_FACTS },
  { title: "Cautions", facts: SAFETY_FACTS },
] as const satisfies readonly { title: string; facts: Record<string, Fact> }[];

/**
 * Every fact of the trade by name: the one place for a number that a standard, a handbook, habit or memory
 * gave us. Defaults, presets, cautions, pages and tests read it here, and so all name the same source.
 */
export const FACTS = {
  ...CEILING_FACTS,
  ...FIBRE_FACTS,
  ...EYE_FACTS,
  ...FABRIC_FACTS,
  ...LABOUR_FACTS,
  ...PAPER_FACTS,
  ...SAFETY_FACTS,
};
export type FactName = keyof typeof FACTS;

const BY_KEY = new Map(Object.values<Fact>(FACTS).flatMap((fact) => (fact.key ? [[fact.key, fact]] : [])));

/** The fact behind a key of the job, as `takeoff.fabric.wrapMm` or `bundles.engines[0].reachM`. */
export const factAt = (path: string): Fact | undefined => BY_KEY.get(path.replace(/\[\d+\]/g, "[]"));
