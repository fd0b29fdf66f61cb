import type { Hole, Pattern } from "../../../pattern/types.ts";
import type { Figure } from "../../../sky/types.ts";
import { keyOfHole, keyOfLost, type SubjectKey } from "./subject.ts";

/** Boötes is found by "bootes" too. */
const folded = (name: string): string => name.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();

/** The constellation that typed words mean, by name or abbreviation, with its stars' holes, the brightest first; null for none. */
export function findConstellation(
  { holes }: Pattern,
  figures: readonly Figure[],
  text: string,
): { name: string; stars: number; found: Hole[] } | null {
  const words = folded(text.trim());
  const figure = figures.find((f) => folded(f.abbreviation) === words || folded(f.name) === words);
  if (!figure) return null;
  const stars = new Set(figure.lines.flat());
  const found = holes.filter(({ star }) => star !== null && stars.has(star));
  const light = (hole: Hole): number => hole.magnitude ?? Infinity;
  return { name: figure.name, stars: stars.size, found: found.sort((a, b) => light(a) - light(b)) };
}

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
