import { moveWords, type LengthUnits } from "../job/units.ts";
import type { Fidelity } from "./types.ts";

/** How like the sky a ceiling is, as far as a client may ask. */
export type LikeSky = Pick<Fidelity, "leading" | "likeness" | "moves">;

/** Stars down to this magnitude are the ones that people look for. */
const BRIGHT = 3;

/** The figures of likeness in words, the same in the command, on boards and in the studio; "" where one has no meaning. */
export const LIKENESS_ROWS: readonly { name: string; words: (f: LikeSky, units: LengthUnits) => string }[] = [
  {
    name: "Brightest",
    words: ({ leading }) =>
      `Of the sky's ${leading.map((l) => l.of).join(", ")} brightest, ${leading.map((l) => l.among.toFixed(1)).join(", ")} are among the ceiling's`,
  },
  {
    name: "Tile edges",
    words: ({ likeness }) => `${likeness.edgeExcess.toFixed(1)} times the stars that chance puts there`,
  },
  {
    name: "Spread",
    words: ({ likeness }) =>
      `Neighbours ${likeness.nearestNeighbour.toFixed(2)} times as far apart as chance has them`,
  },
  {
    name: "Band",
    words: ({ likeness: { band } }) =>
      band === null ? "" : `${Math.round(band * 100)} % like the Milky Way from tile to tile`,
  },
  {
    name: "Moved",
    words: ({ moves }, units) => {
      const bright = moves.filter(({ from }) => from < BRIGHT);
      const far = (mm: number): string => moveWords(mm, units);
      return `Bright stars ${far(meanOf(bright))} on average, all stars ${far(meanOf(moves))}, the farthest ${far(Math.max(0, ...moves.map((m) => m.maxMm)))}`;
    },
  },
];

function meanOf(bands: LikeSky["moves"]): number {
  const count = bands.reduce((sum, b) => sum + b.count, 0);
  return count === 0 ? 0 : bands.reduce((sum, b) => sum + b.count * b.meanMm, 0) / count;
}
