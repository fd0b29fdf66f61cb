import { labelSheetByName, labelSheetCount, type LabelSheet } from "../bundles/labelStock.ts";
import type { Bundles } from "../bundles/types.ts";
import { wallAbove } from "./bearings.ts";
import type { SheetContext } from "./context.ts";
import { tilesWithHoles } from "./context.ts";
import { GREY, WEIGHT, line, rectangle, text, type Drawing, type Item } from "../drawing/drawing.ts";
import { paperByName } from "./papers.ts";
import { csvText } from "./tables.ts";
import { fitted } from "../drawing/words.ts";

/** One label: where it goes, its big word, and lines below. */
export interface Label {
  end: "engine end" | "tile end" | "tile";
  big: string;
  lines: string[];
}

/** Two labels for each tail, one for each tile with holes, in the order in which they are needed. */
export function labelsFor(context: SheetContext, bundles: Bundles): Label[] {
  const { plan } = context;
  const job = `${context.clean(plan.job.title)}, rev. ${plan.job.revision}`;
  const tails = bundles.tails.flatMap((tail): Label[] => {
    const strands = tail.lots.reduce((sum, { count }) => sum + count, 0);
    const lots = tail.lots.map(({ diameterMm, lengthM, count }) => `${count} x ${diameterMm} mm, ${lengthM} m`).join("; "); // prettier-ignore
    const lines = [`tile ${tail.tile}, engine ${tail.engine}, ${strands} strands`, lots, job];
    return [
      { end: "tile end", big: tail.name, lines: ["TILE END", ...lines] },
      { end: "engine end", big: tail.name, lines: ["ENGINE END", ...lines] },
    ];
  });
  const tiles = tilesWithHoles(plan).map(({ tile, holes }): Label => {
    const engines = bundles.tails.filter((tail) => tail.tile === tile.name).map(({ engine }) => engine);
    return {
      end: "tile",
      big: tile.name,
      lines: [
        "TILE, BACK",
        `top edge to ${context.clean(wallAbove(plan, tile))} \u2191`,
        `${holes.length} holes${engines.length > 0 ? `, engine ${engines.join(", ")}` : ""}`,
        job,
      ],
    };
  });
  return [...tails, ...tiles];
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
  const own = labelSheetByName(options.sheet);
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

function drawLabel(
  { typeface }: SheetContext,
  own: LabelSheet,
  label: Label,
  [x, y]: [number, number],
): Item[] {
  const [width, height] = own.labelMm;
  const pad = Math.min(3, height * 0.1);
  const inner = width - 2 * pad;
  let big = height * 0.36;
  while (big > 3 && typeface.widthMm(label.big, big, true) > inner * 0.62) big -= 0.25;
  const top = y + height - pad;
  const items: Item[] = [text("LABEL", [x + pad, top - big * 0.75], label.big, big, { bold: true })];
  if (own.cut)
    items.push(
      rectangle("CUT", x, y, width, height, {
        stroke: { widthMm: WEIGHT.hair, grey: GREY.light, dashMm: [1, 1] },
      }),
    );
  const size = Math.min(3, height * 0.085);
  const [kind, ...rest] = label.lines;
  items.push(
    text("LABEL", [x + width - pad, top - size], fitted(kind!, inner * 0.36, size, typeface, true), size, {
      align: "right",
      bold: true,
    }),
    line("LABEL", [x + pad, top - big * 0.92], [x + width - pad, top - big * 0.92], {
      widthMm: WEIGHT.thin,
      grey: GREY.mid,
    }),
  );
  const step = Math.min(size * 1.5, (height - 2 * pad - big * 0.92) / Math.max(1, rest.length));
  rest.forEach((words, i) =>
    items.push(
      text(
        "LABEL",
        [x + pad, top - big * 0.92 - step * (i + 0.85)],
        fitted(words, inner, size, typeface),
        size,
      ),
    ),
  );
  return items;
}

/** For label printers: one record a label. */
export function labelsCsv(labels: readonly Label[]): string {
  const rows = labels.map(({ end, big, lines }) => [
    end,
    big,
    ...Array.from({ length: 4 }, (_, i) => lines[i] ?? ""),
  ]);
  return [["kind", "name", "line_1", "line_2", "line_3", "line_4"], ...rows]
    .map((row) => `${row.map(csvText).join(",")}\r\n`)
    .join("");
}
