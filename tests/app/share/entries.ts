import type { Entry } from "../../../src/record/entry.ts";

/** One thing that happened, the n-th of a run. */
export const entry = (n: number, run = "ab12"): Entry => ({
  id: `${run}-${n}`,
  atMs: Date.UTC(2031, 1, 14, 9) + n * 1000,
  who: "Ada",
  device: "tablet",
  revision: 1,
  tile: "B3",
  what: "punched",
  holes: [n],
});
