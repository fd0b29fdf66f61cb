import type { PlacedBlank } from "../../../takeoff/types.ts";

/** A length of the roll, from and to in micrometres. */
export interface CutLine {
  fromUm: number;
  toUm: number;
}

/** Breaks the roll into at most `lines` lengths as even as can be, never through a blank. */
export function cutLines(placed: readonly PlacedBlank[], lengthUm: number, lines: number): CutLine[] {
  const ends = breaks(placed, lengthUm);
  // The shortest longest line is one of the distances between two breaks.
  const spans = [...new Set(ends.flatMap((end, i) => [0, ...ends.slice(0, i)].map((from) => end - from)))];
  spans.sort((a, b) => a - b);
  let [low, high] = [0, spans.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (filled(ends, spans[middle]!).length <= lines) high = middle;
    else low = middle + 1;
  }
  return filled(ends, spans[low] ?? lengthUm);
}

/** Places along the roll where a straight cut goes through no blank; the last is its end. */
function breaks(placed: readonly PlacedBlank[], lengthUm: number): number[] {
  const byStart = [...placed].sort((a, b) => a.yUm - b.yUm);
  const found: number[] = [];
  let reachUm = 0;
  for (const { yUm, alongUm } of byStart) {
    if (yUm >= reachUm && yUm > 0) found.push(yUm);
    reachUm = Math.max(reachUm, yUm + alongUm);
  }
  return [...found, lengthUm];
}

function filled(ends: readonly number[], mostUm: number): CutLine[] {
  const lines: CutLine[] = [];
  let fromUm = 0;
  let toUm = 0;
  for (const end of ends) {
    if (end - fromUm > mostUm && toUm > fromUm) {
      lines.push({ fromUm, toUm });
      fromUm = toUm;
    }
    toUm = end;
  }
  return [...lines, { fromUm, toUm }];
}
