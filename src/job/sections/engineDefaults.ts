import { FACTS } from "../../trade/facts.ts";

/** What an engine has where nothing is said; apart from the schema, for the page, which runs no schema. */
export const ENGINE_DEFAULTS = {
  /** Inner diameter of the port. */
  portDiameterMm: FACTS.portDiameterMm.value,
  capacity: FACTS.portStrands.value,
  reachM: FACTS.reachM.value,
} as const;
