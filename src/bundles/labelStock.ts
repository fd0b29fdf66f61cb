import { JobFaults } from "../job/faults.ts";

/** A sheet of labels, told by sizes alone. The labels stand centred on the paper. */
export interface LabelSheet {
  /** What a job says. */
  code: string;
  /** What a person reads. */
  name: string;
  paper: string;
  labelMm: [width: number, height: number];
  columns: number;
  rows: number;
  /** Between labels; margins follow from it. */
  gapMm: [across: number, down: number];
  /** Plain paper: lines to cut along. */
  cut: boolean;
}

const INCH = 25.4;

const sheet = (code: string, name: string, paper: string, labelMm: [number, number], columns: number, rows: number, gapMm: [number, number] = [0, 0], cut = false): LabelSheet => ({ code, name, paper, labelMm, columns, rows, gapMm, cut }); // prettier-ignore

/** Common sizes (from memory; hold a test print against the sheet) and plain paper to cut. */
export const LABEL_SHEETS: readonly LabelSheet[] = [
  sheet("A4-63.5x38.1", "63.5 × 38.1 mm, 3 × 7 on A4", "A4", [63.5, 38.1], 3, 7, [2.54, 0]),
  sheet("A4-70x37", "70 × 37 mm, 3 × 8 on A4", "A4", [70, 37], 3, 8),
  sheet("A4-99.1x38.1", "99.1 × 38.1 mm, 2 × 7 on A4", "A4", [99.1, 38.1], 2, 7, [2.54, 0]),
  sheet("A4-38.1x21.2", "38.1 × 21.2 mm, 5 × 13 on A4", "A4", [38.1, 21.2], 5, 13, [2.54, 0]),
  sheet("Letter-2.625x1in", "2 5/8 × 1 in, 3 × 10 on Letter", "Letter", [2.625 * INCH, INCH], 3, 10, [
    INCH / 8,
    0,
  ]),
  sheet("Letter-4x2in", "4 × 2 in, 2 × 5 on Letter", "Letter", [4 * INCH, 2 * INCH], 2, 5, [
    (3 * INCH) / 16,
    0,
  ]),
  sheet("A4-cut", "plain A4 to cut, 3 × 8", "A4", [62, 34], 3, 8, [0, 0], true),
  sheet("Letter-cut", "plain Letter to cut, 3 × 7", "Letter", [64, 36], 3, 7, [0, 0], true),
];

/** The label sheet of that code. Throws JobFaults at `bundles.labels.sheet` for an unknown one. */
export function labelSheetOf(code: string): LabelSheet {
  const found = LABEL_SHEETS.find((s) => s.code === code);
  if (found) return found;
  throw new JobFaults([
    {
      path: "bundles.labels.sheet",
      expected: `one of: ${LABEL_SHEETS.map(({ code, name }) => `${code} (${name})`).join("; ")}`,
      got: JSON.stringify(code.slice(0, 60)),
      next: "Choose a sheet from the list, by its size.",
    },
  ]);
}

/** How many sheets so many labels take. */
export const labelSheetCount = (labels: number, { columns, rows }: LabelSheet, skip: number): number =>
  labels === 0 ? 0 : Math.ceil((labels + (skip % (columns * rows))) / (columns * rows));
