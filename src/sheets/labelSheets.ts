import { revisionOf } from "../issue/make.ts";
import { labelCode } from "../bundles/labelCode.ts";
import { labelSheetOf, labelSheetCount, type LabelSheet } from "../bundles/labelStock.ts";
import type { Bundles } from "../bundles/types.ts";
import { wallAbove } from "./bearings.ts";
import { FINE_MM, tilesWithHoles, type SheetContext } from "./context.ts";
import { lotWords } from "./pack/words.ts";
import { GREY, WEIGHT, line, rectangle, text, type Drawing, type Item } from "../drawing/drawing.ts";
import { paperByName } from "./papers.ts";
import { csvText } from "./tables.ts";
import { fitted, wrapped } from "../drawing/words.ts";
import { drawCode } from "./squareCode.ts";
import { coveredTiles } from "../takeoff/blanks.ts";
import { spareFor } from "../takeoff/order.ts";

/** One label: where it goes, its big word, and lines below, what must be read first. */
export interface Label {
  end: "engine end" | "tile end" | "tile" | "spare";
  big: string;
  lines: string[];
  /** Its square code as text. */
  code: string;
}

/** Two labels for each tail, one for each covered tile, one for each tile's spares, in the order of their need. */
export function labelsFor(context: SheetContext, bundles: Bundles): Label[] {
  const { plan } = context;
  const { spareStrandsPerTile } = plan.job.takeoff;
  const job = (tile: string) => `${context.clean(plan.job.title)}, rev. ${revisionOf(plan.job, tile)}`;
  const code = (tile: string, tail = "") => labelCode({ jobId: plan.job.id ?? "", tile, tail });
  const tails = bundles.tails.flatMap((tail): Label[] => {
    const strands = tail.lots.reduce((sum, { count }) => sum + count, 0);
    const lines = [`${strands} strands: ${lotWords(context, tail.lots)}`, job(tail.tile)];
    return [
      { end: "tile end", big: tail.name, lines: ["TILE END", ...lines], code: code(tail.tile, tail.name) },
      {
        end: "engine end",
        big: tail.name,
        lines: ["ENGINE END", ...lines],
        code: code(tail.tile, tail.name),
      },
    ];
  });
  const holesOf = new Map(tilesWithHoles(plan).map(({ tile, holes }) => [tile.name, holes.length]));
  const tiles = coveredTiles(plan.ceiling).map((tile): Label => {
    const engines = bundles.tails.filter((tail) => tail.tile === tile.name).map(({ engine }) => engine);
    const holes = holesOf.get(tile.name) ?? 0;
    const what = holes === 0 ? "covered, no strands" : `${holes} holes`;
    const lines = [
      `top edge to ${context.clean(wallAbove(plan, tile))} \u2191`,
      `${what}${engines.length > 0 ? `, engine ${engines.join(", ")}` : ""}`,
    ];
    return {
      end: "tile",
      big: tile.name,
      lines: ["TILE, BACK", ...lines, job(tile.name)],
      code: code(tile.name),
    };
  });
  const spares = [...holesOf.keys()].flatMap((tile): Label[] => {
    const spare = spareFor(bundles.strands.filter((strand) => strand.tile === tile));
    if (spareStrandsPerTile === 0 || !spare) return [];
    const lots = lotWords(context, [{ ...spare, count: spareStrandsPerTile }]);
    return [
      {
        end: "spare",
        big: tile,
        lines: ["SPARE", `${lots}; coiled behind the tile`, job(tile)],
        code: code(tile),
      },
    ];
  });
  return [...tails, ...tiles, ...spares];
}

/** Where label number `place` of a sheet stands: its lower left corner, from the lower left of the paper. */
export function labelCorner(s: LabelSheet, place: number): [xMm: number, yMm: number] {
  const paper = paperByName(s.paper);
  const width = s.columns * s.labelMm[0] + (s.columns - 1) * s.gapMm[0];
  const height = s.rows * s.labelMm[1] + (s.rows - 1) * s.gapMm[1];
  const column = place % s.columns;
  const row = Math.floor(place / s.columns);
  return [
    (paper.widthMm - width) / 2 + column * (s.labelMm[0] + s.gapMm[0]),
    (paper.heightMm! + height) / 2 - (row + 1) * s.labelMm[1] - row * s.gapMm[1],
  ];
}

/** Labels on their sheets, places already used left free. */
export function drawLabels(context: SheetContext, labels: readonly Label[]): Drawing[] {
  const options = context.plan.job.bundles.labels;
  const own = labelSheetOf(options.sheet);
  const paper = paperByName(own.paper);
  const each = own.columns * own.rows;
  const skip = options.skip % each;
  const sheets = labelSheetCount(labels.length, own, skip);
  return Array.from({ length: sheets }, (_, s) => {
    const items: Item[] = [];
    for (let place = 0; place < each; place++) {
      const label = labels[s * each + place - skip];
      if (!label || s * each + place < skip) continue;
      const [x, y] = labelCorner(own, place);
      items.push(...drawLabel(context, own, label, [x + options.shiftMm[0], y + options.shiftMm[1]]));
    }
    return {
      title: `${context.clean(context.plan.job.title)}: labels ${s + 1} of ${sheets}`,
      widthMm: paper.widthMm,
      heightMm: paper.heightMm!,
      items,
      zeroMm: [0, 0],
    };
  });
}

/** A number stays with its unit, feet with their inches: no line of a label begins with "mm". */
const together = (words: string): string =>
  words.replace(/(\d'?) (?=mm\b|m\b|\d+( \d+\/\d+)?")/g, "$1\u00A0");

function drawLabel(
  { typeface }: SheetContext,
  own: LabelSheet,
  label: Label,
  [x, y]: [number, number],
): Item[] {
  const [width, height] = own.labelMm;
  const pad = Math.min(3, height * 0.1);
  const inner = width - 2 * pad;
  const [kind, ...rest] = label.lines;
  const size = Math.max(FINE_MM, Math.min(3, height * 0.085));
  const kindMm = typeface.widthMm(kind!, size, true);
  let big = height * 0.36;
  while (big > 3 && typeface.widthMm(label.big, big, true) > inner - kindMm - 2) big -= 0.25;
  const top = y + height - pad;
  const rule = top - big * 0.92;
  const items: Item[] = [text("LABEL", [x + pad, top - big * 0.75], label.big, big, { bold: true })];
  if (own.cut)
    items.push(
      rectangle("CUT", [x, y], [width, height], {
        stroke: { widthMm: WEIGHT.hair, grey: GREY.light, dashMm: [1, 1] },
      }),
    );
  items.push(
    text("LABEL", [x + width - pad, top - size], kind!, size, { align: "right", bold: true }),
    line("LABEL", [x + pad, rule], [x + width - pad, rule], { widthMm: WEIGHT.thin, grey: GREY.mid }),
  );
  // Beside the words, as large as its modules need to be read by a phone, never wider than a third.
  const codeMm = Math.min(rule - y - pad * 0.6 - 0.8, inner / 3);
  items.push(...drawCode(label.code, [x + width - pad - codeMm, rule - 0.8 - codeMm], codeMm));
  // What the work needs comes first and whole; the job's name takes what room is left.
  const room = Math.floor((rule - y - pad * 0.6) / (size * 1.3));
  const beside = inner - codeMm - 1.5;
  const rows = rest.flatMap((words) => wrapped(together(words), beside, size, typeface));
  rows
    .slice(0, room)
    .forEach((words, i) =>
      items.push(
        text("LABEL", [x + pad, rule - size * 1.3 * (i + 0.85)], fitted(words, beside, size, typeface), size),
      ),
    );
  return items;
}

/** For label printers: one record a label. */
export function labelsCsv(labels: readonly Label[]): string {
  const rows = labels.map(({ end, big, lines, code }) => [
    end,
    big,
    ...Array.from({ length: 4 }, (_, i) => lines[i] ?? ""),
    code,
  ]);
  return [["kind", "name", "line_1", "line_2", "line_3", "line_4", "code"], ...rows]
    .map((row) => `${row.map(csvText).join(",")}\r\n`)
    .join("");
}
