import type { Pattern } from "../../../pattern/types.ts";
import { keyOfHole, keyOfLost, type SubjectKey } from "./subject.ts";

/** The star or hole that typed words mean: a name or its beginning, `HIP 91262` or a bare number, `C4 12`. */
export function findHole({ holes, lost }: Pattern, text: string): SubjectKey | null {
  const words = text.trim().toLowerCase();
  if (words === "") return null;
  const inTile = /^([a-z]{1,3}\d{1,4}(?:-\d{1,2})?)[\s,]+(\d+)$/.exec(words);
  if (inTile) {
    const [, tile, number] = inTile;
    const hole = holes.find((h) => h.tile.toLowerCase() === tile && h.numberInTile === Number(number));
    if (hole) return keyOfHole(hole);
  }
  const numbered = /^(?:hip\s*)?(\d+)$/.exec(words);
  const named = (test: (name: string, star: number | null) => boolean): SubjectKey | null => {
    const hole = holes.find((h) => test(h.name.toLowerCase(), h.star));
    if (hole) return keyOfHole(hole);
    const gone = lost.find((l) => test(l.name.toLowerCase(), l.star));
    return gone ? keyOfLost(gone) : null;
  };
  if (numbered) return named((_, star) => star === Number(numbered[1]));
  return named((name) => name === words) ?? named((name) => name.startsWith(words));
}
