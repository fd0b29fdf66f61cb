import type { Planned } from "../plan.ts";
import type { Hole, LostStar } from "../pattern/types.ts";
import type { EngineOf } from "./context.ts";
import { oneLine } from "../drawing/words.ts";

/** RFC 4180: commas, CRLF after every record, quotes doubled inside quotes; UTF-8 without a byte order mark. */
const RECORD_END = "\r\n";

/**
 * A spreadsheet would run text that begins so as a formula, after blanks and quotes too; East Asian ones take the
 * full-width signs. Where lists are parted by semicolons, a text with one in it becomes two cells.
 */
const FORMULA_START = /(^|;)(?=[\s"]*[=+\-@\uFF1D\uFF0B\uFF0D\uFF20])/g;

/** Text of a job as one CSV field; an apostrophe before what could be a formula keeps it text. */
export function csvText(words: string): string {
  const harmless = oneLine(words).replace(FORMULA_START, "$1'");
  return /[",;]/.test(harmless) ? `"${harmless.replace(/"/g, '""')}"` : harmless;
}

/** Three decimals and a point: whole micrometres, thousandths of a magnitude. Blank for null. */
function csvNumber(value: number | null): string {
  if (value === null) return "";
  const words = value.toFixed(3);
  return Number(words) === 0 ? "0.000" : words;
}

const whole = (value: number | null): string => (value === null ? "" : String(value));

function table(header: string, rows: string[][]): string {
  return [header, ...rows.map((row) => row.join(","))].map((record) => record + RECORD_END).join("");
}

const HOLE_COLUMNS =
  "hole,tile,number,kind,star,name,magnitude,true_x_mm,true_y_mm,x_mm,y_mm,tile_x_mm,tile_y_mm,diameter_mm,strands,engine";

/** `holes.csv` (DEVELOPERS.md, "What a plan writes"): millimetres on the plan, seen from above. Filler has no sky columns. */
export function holesCsv(plan: Planned, engineOf: EngineOf = () => ""): string {
  const row = (hole: Hole): string[] => {
    const sky = hole.kind !== "filler";
    return [
      String(hole.id),
      csvText(hole.tile),
      String(hole.numberInTile),
      hole.kind,
      sky ? whole(hole.star) : "",
      sky ? csvText(hole.name) : "",
      csvNumber(hole.magnitude),
      sky ? csvNumber(hole.trueXMm) : "",
      sky ? csvNumber(hole.trueYMm) : "",
      csvNumber(hole.xMm),
      csvNumber(hole.yMm),
      csvNumber(hole.tileXMm),
      csvNumber(hole.tileYMm),
      csvNumber(hole.diameterMm),
      String(hole.strands),
      csvText(engineOf(hole)),
    ];
  };
  return table(HOLE_COLUMNS, plan.pattern.holes.map(row));
}

const LOST_COLUMNS = "star,name,magnitude,true_x_mm,true_y_mm,reason";

/** `lost.csv`: every sky object brighter than the faintest one used that has no hole, and why. */
export function lostCsv(plan: Planned): string {
  const row = (lost: LostStar): string[] => [
    whole(lost.star),
    csvText(lost.name),
    csvNumber(lost.magnitude),
    csvNumber(lost.trueXMm),
    csvNumber(lost.trueYMm),
    csvText(lost.detail ? `${lost.reason}: ${lost.detail}` : lost.reason),
  ];
  return table(LOST_COLUMNS, plan.pattern.lost.map(row));
}
