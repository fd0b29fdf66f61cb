/** What an engine has where nothing is said; apart from the schema, for the page, which runs no schema. */
export const ENGINE_DEFAULTS = {
  /** Inner diameter of the port: 20 and 30 mm are usual (TRADE 3). */
  portDiameterMm: 30,
  /** What a 30 mm port takes of 0.75 mm strands, packed by hand: 0.75 (30/0.75)² (TRADE 3). */
  capacity: 1200,
  /** 8-10 m lose half a magnitude (TRADE 7 row 9). */
  reachM: 10,
} as const;
