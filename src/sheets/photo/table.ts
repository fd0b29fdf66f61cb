import type { DarkTest } from "../../photo/types.ts";
import { csvText } from "../tables.ts";

const COLUMNS = "hole,tile,verdict,dx_mm,dy_mm,light,why";
const number = (value: number | null, digits: number): string =>
  value === null ? "" : Number(value.toFixed(digits)) === 0 ? (0).toFixed(digits) : value.toFixed(digits);

/** `photo.csv`: every hole, in the order of holes.csv; ways on the plan seen from above, light beside its neighbours'. */
export function photoCsv(test: DarkTest): string {
  const rows = test.holes.map((h) =>
    [
      h.hole,
      csvText(h.tile),
      h.verdict,
      number(h.dxMm, 1),
      number(h.dyMm, 1),
      number(h.light, 2),
      csvText(h.why),
    ].join(","),
  );
  return [COLUMNS, ...rows].map((row) => `${row}\r\n`).join("");
}
