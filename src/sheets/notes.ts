import { tileAssumed } from "../job/assumed.ts";
import { cautionsFor, WHO_DECIDES } from "../job/cautions.ts";
import { countStrands } from "../pattern/packing.ts";
import { BAR_MM } from "./bars.ts";
import { ruled } from "./coordinates.ts";
import { FINE_MM, tilesWithHoles, type SheetContext } from "./context.ts";
import { GREY, WEIGHT, line, text, type Drawing, type Item } from "../drawing/drawing.ts";
import type { Paper } from "./papers.ts";
import { wrapped } from "../drawing/words.ts";

interface Row {
  words: string;
  sizeMm: number;
  bold: boolean;
  grey: number;
  /** Room above. */
  beforeMm: number;
  /** Stays on one page with the row after it. */
  keep: boolean;
}

const LONGEST_LINE_MM = 190;

/** Words to read before the work, as pages: how the sheets are used, cautions with their sources, holes by tile. */
export function drawNotes(context: SheetContext, paper: Paper): Drawing[] {
  const { job } = context.plan;
  const margin = Math.max(paper.marginMm.sides, paper.marginMm.ends) + 8;
  const width = paper.widthMm;
  const height = paper.heightMm ?? paper.widthMm * Math.SQRT2;
  const lineMm = Math.min(LONGEST_LINE_MM, width - 2 * margin);
  const rows: Row[] = [];
  const add = (words: string, sizeMm: number, look: Partial<Row> = {}) => {
    const lines = wrapped(context.clean(words), lineMm, sizeMm, context.typeface, { bold: look.bold });
    lines.forEach((part, i) =>
      rows.push({
        words: part,
        sizeMm,
        bold: look.bold ?? false,
        grey: look.grey ?? GREY.black,
        beforeMm: i === 0 ? (look.beforeMm ?? 0) : 0,
        keep: i < lines.length - 1 || (look.keep ?? false),
      }),
    );
  };
  const heading = (words: string) => add(words, 5, { bold: true, beforeMm: 6, keep: true });
  add(job.title, 3, { grey: GREY.dark });
  heading("Before the first hole");
  for (const step of stepsWith(job.units === "ft-in" ? ` (${ruled(context, BAR_MM)})` : ""))
    add(step, 3, { beforeMm: 1.2 });
  if (tileAssumed(job))
    add(`${tileAssumed(job)} Measure three tiles first.`, 3, { beforeMm: 1.2, bold: true });
  heading("Cautions for this job");
  add(WHO_DECIDES, 2.8, { grey: GREY.dark });
  for (const caution of cautionsFor(job)) {
    add(caution.title, 3.2, { bold: true, beforeMm: 2.4, keep: true });
    add(caution.text, 2.9, { keep: true });
    add(`Source: ${caution.source}`, FINE_MM, { grey: GREY.dark });
  }
  heading("Holes by tile");
  for (const words of tileLines(context)) add(words, 2.8, {});
  return paginate(rows, { width, height, margin }, `${context.clean(job.title)}: notes`);
}

const stepsWith = (inInches: string) => [
  `1. Print one page at actual size (100 %). Measure both bars up to the long tick at 150 mm${inInches}: 150 mm, within 0.3 mm (a bar of 300 mm in all: within 0.6 mm), by a steel rule with millimetres. If not, type the two lengths into the job (sheets, printer) and print again.`,
  "2. Look at the letter R and at the word BACK or FACE. BACK lies on the tile's back and is read from above; FACE lies on the finished side and is read from below. They are mirror images: a pattern punched from the wrong one is the wrong way round.",
  "3. Turn the tile so that the arrow points to the wall that it names.",
  "4. Heavy brackets are the corners of the tile, never a tee. Where not all of them are on the page, rule the tile's back with lines as far apart as the sheet says, counted from the two edges at the datum corner; lay each page by the edges and the crosses it shows, each cross where two lines meet, and prick the crosses through. One page after the other, each by itself.",
  "5. Punch every mark through its dot. The shape tells the strand. Dotted circles belong to another page: they only show whether the pages agree.",
  '6. Where "3× in 3.3 mm" stands beside a mark, drill that size and thread as many strands: they share the hole.',
  "7. Count each strand against the list on the sheet.",
];

function tileLines(context: SheetContext): string[] {
  return tilesWithHoles(context.plan).map(({ tile, holes }) => {
    const counts = [...context.styles.keys()]
      .map((diameter) => [diameter, countStrands(holes.filter((h) => h.diameterMm === diameter))] as const)
      .filter(([, count]) => count > 0)
      .map(([diameter, count]) => `${count} of ${diameter} mm`);
    return `${tile.name}: ${holes.length} holes, ${countStrands(holes)} strands: ${counts.join(", ")}`;
  });
}

function paginate(
  rows: Row[],
  { width, height, margin }: { width: number; height: number; margin: number },
  title: string,
): Drawing[] {
  const pages: Item[][] = [[]];
  let y = height - margin;
  rows.forEach((row, i) => {
    // A row bound to those after it moves on together with them, unless they fill a page by themselves.
    let needed = 0;
    for (let j = i; j < rows.length; j++) {
      needed += rows[j]!.beforeMm + rows[j]!.sizeMm * LEADING;
      if (!rows[j]!.keep) break;
    }
    if (y - Math.min(needed, height / 2) < margin && pages.at(-1)!.length > 0) {
      pages.push([]);
      y = height - margin;
    }
    y -= row.beforeMm + row.sizeMm * LEADING;
    pages.at(-1)!.push(text("TEXT", [margin, y], row.words, row.sizeMm, { bold: row.bold, grey: row.grey }));
  });
  return pages.map((items, i) => ({
    title,
    widthMm: width,
    heightMm: height,
    zeroMm: [0, 0],
    items: [
      ...items,
      line("TEXT", [margin, margin - 3], [width - margin, margin - 3], {
        widthMm: WEIGHT.thin,
        grey: GREY.mid,
      }),
      text("TEXT", [margin, margin - 6], title, FINE_MM, { grey: GREY.dark }),
      text("TEXT", [width - margin, margin - 6], `notes ${i + 1} of ${pages.length}`, FINE_MM, {
        align: "right",
        grey: GREY.dark,
      }),
    ],
  }));
}

const LEADING = 1.42;
