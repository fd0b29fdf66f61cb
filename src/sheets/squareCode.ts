import { encode } from "uqr";
import { GREY, type Item } from "../drawing/drawing.ts";

/** Quiet modules round a code. ISO/IEC 18004 asks for four white ones: the other two are the label's white beside it. */
const QUIET = 2;

/** A QR code of level M (ISO/IEC 18004) as black runs: its lower left corner, its side with the quiet margin. */
export function drawCode(words: string, [x, y]: readonly [number, number], sideMm: number): Item[] {
  const { data, size } = encode(words, { ecc: "M", border: QUIET });
  const module = sideMm / size;
  const rings = data.flatMap((row, r) => {
    const [foot, top] = [y + (size - 1 - r) * module, y + (size - r) * module];
    const runs: [number, number][][] = [];
    for (let from = 0; from < size; from++) {
      if (!row[from]) continue;
      let to = from;
      while (row[to + 1]) to++;
      const [left, right] = [x + from * module, x + (to + 1) * module];
      runs.push([[left, foot], [right, foot], [right, top], [left, top]]); // prettier-ignore
      from = to;
    }
    return runs;
  });
  return [{ kind: "path", layer: "LABEL", rings, closed: true, fillGrey: GREY.black }];
}
