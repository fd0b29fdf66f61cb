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

const sheet = (
  code: string,
  name: string,
  stock: Pick<LabelSheet, "paper" | "labelMm" | "columns" | "rows"> & Partial<LabelSheet>,
): LabelSheet => ({ gapMm: [0, 0], cut: false, code, name, ...stock });

/** Common sizes (from memory; hold a test print against the sheet) and plain paper to cut. */
export const LABEL_SHEETS: readonly LabelSheet[] = [
  sheet("A4-63.5x38.1", "63.5 × 38.1 mm, 3 × 7 on A4", {
    paper: "A4",
    labelMm: [63.5, 38.1],
    columns: 3,
    rows: 7,
    gapMm: [2.54, 0],
  }),
  sheet("A4-70x37", "70 × 37 mm, 3 × 8 on A4", { paper: "A4", labelMm: [70, 37], columns: 3, rows: 8 }),
  sheet("A4-99.1x38.1", "99.1 × 38.1 mm, 2 × 7 on A4", {
    paper: "A4",
    labelMm: [99.1, 38.1],
    columns: 2,
    rows: 7,
    gapMm: [2.54, 0],
  }),
  sheet("A4-38.1x21.2", "38.1 × 21.2 mm, 5 × 13 on A4", {
    paper: "A4",
    labelMm: [38.1, 21.2],
    columns: 5,
    rows: 13,
    gapMm: [2.54, 0],
  }),
  sheet("Letter-2.625x1in", "2 5/8 × 1 in, 3 × 10 on Letter", {
    paper: "Letter",
    labelMm: [2.625 * INCH, INCH],
    columns: 3,
    rows: 10,
    gapMm: [INCH / 8, 0],
  }),
  sheet("Letter-4x2in", "4 × 2 in, 2 × 5 on Letter", {
    paper: "Letter",
    labelMm: [4 * INCH, 2 * INCH],
    columns: 2,
    rows: 5,
    gapMm: [(3 * INCH) / 16, 0],
  }),
  sheet("A4-cut", "plain A4 to cut, 3 × 8", {
    paper: "A4",
    labelMm: [62, 34],
    columns: 3,
    rows: 8,
    cut: true,
  }),
  sheet("Letter-cut", "plain Letter to cut, 3 × 7", {
    paper: "Letter",
    labelMm: [64, 36],
    columns: 3,
    rows: 7,
    cut: true,
  }),
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
