import { usableUm } from "./blanks.ts";
import type { Blank, CutPlan, PlacedBlank } from "./types.ts";

interface Field {
  x: number;
  y: number;
  across: number;
  along: number;
}

type Order = (a: Blank, b: Blank) => number;

const ORDERS: readonly Order[] = [
  (a, b) => b.alongUm - a.alongUm || b.acrossUm - a.acrossUm,
  (a, b) => b.acrossUm - a.acrossUm || b.alongUm - a.alongUm,
  (a, b) => b.acrossUm * b.alongUm - a.acrossUm * a.alongUm || b.alongUm - a.alongUm,
];

/**
 * Lays blanks on the roll without turning any (pile), by cuts from edge to edge alone, as scissors make
 * them: a strip is cut off across the roll, as long as its first blank; each blank leaves a field beside and
 * one behind it, filled in the same way. Several orders are tried; the shortest wins.
 */
export function layOut(blanks: readonly Blank[], rollUm: number, selvedgeUm: number): CutPlan {
  const width = usableUm(rollUm, selvedgeUm);
  const tooWide = blanks.filter(({ acrossUm }) => acrossUm > width);
  const fitting = blanks.filter(({ acrossUm }) => acrossUm <= width);
  let best: { placed: PlacedBlank[]; lengthUm: number } | null = null;
  for (const order of ORDERS)
    for (const behindFirst of [false, true]) {
      const made = inStrips([...fitting].sort(order), width, behindFirst);
      if (!best || made.lengthUm < best.lengthUm) best = made;
    }
  return { rollUm, usableUm: width, ...best!, leastUm: leastLength(fitting, width), tooWide };
}

function inStrips(
  sorted: Blank[],
  width: number,
  behindFirst: boolean,
): { placed: PlacedBlank[]; lengthUm: number } {
  const left = [...sorted];
  const placed: PlacedBlank[] = [];
  let lengthUm = 0;
  while (left.length > 0) {
    const along = left[0]!.alongUm;
    fill({ x: 0, y: lengthUm, across: width, along }, left, placed, behindFirst);
    lengthUm += along;
  }
  return { placed, lengthUm };
}

function fill(field: Field, left: Blank[], placed: PlacedBlank[], behindFirst: boolean): void {
  const at = left.findIndex((b) => b.acrossUm <= field.across && b.alongUm <= field.along);
  if (at < 0) return;
  const [blank] = left.splice(at, 1) as [Blank];
  placed.push({ ...blank, xUm: field.x, yUm: field.y });
  const beside: Field = {
    x: field.x + blank.acrossUm,
    y: field.y,
    across: field.across - blank.acrossUm,
    along: field.along,
  };
  const behind: Field = {
    x: field.x,
    y: field.y + blank.alongUm,
    across: blank.acrossUm,
    along: field.along - blank.alongUm,
  };
  for (const next of behindFirst ? [behind, beside] : [beside, behind]) fill(next, left, placed, behindFirst);
}

/** By area; and blanks over half the width can't lie side by side. */
function leastLength(blanks: readonly Blank[], width: number): number {
  if (blanks.length === 0) return 0;
  const area = blanks.reduce((sum, b) => sum + b.acrossUm * b.alongUm, 0);
  const wide = blanks.filter((b) => 2 * b.acrossUm > width).reduce((sum, b) => sum + b.alongUm, 0);
  const longest = blanks.reduce((most, b) => Math.max(most, b.alongUm), 0);
  return Math.max(Math.ceil(area / width), wide, longest);
}
