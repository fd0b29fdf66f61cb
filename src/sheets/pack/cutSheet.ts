import { tileAssumed } from "../../job/assumed.ts";
import { PILE_WORDS } from "../../job/codeWords.ts";
import type { CutPlan } from "../../takeoff/types.ts";
import type { BoxMm } from "../../drawing/clip.ts";
import { FINE_MM, type SheetContext } from "../context.ts";
import { GREY, WEIGHT, line, rectangle, text, type Drawing, type Item } from "../../drawing/drawing.ts";
import type { PackDocument } from "./document.ts";
import { lengthWords, metreWords, sizeWords } from "./words.ts";
import { toMm } from "../../geometry/um.ts";

/** The roll runs upward on the sheet, in columns side by side. */
const COLUMN_UM = 8_000_000;
const COLUMNS_ON_PAGE = 3;
/** Numbers beside the roll: every metre, or every five feet. */
const TICK_UM = { metres: 1_000_000, feet: 1_524_000 } as const;

/** The cut plan on as many pages as its length asks for. */
export function cutPlanSection(doc: PackDocument, plan: CutPlan, fabricM: number): void {
  const { fabric } = doc.context.plan.job.takeoff;
  doc.section("Fabric cut plan");
  const assumed = tileAssumed(doc.context.plan.job);
  if (assumed) doc.write(`${assumed} Measure three tiles before fabric is cut.`, 2.9, { bold: true });
  doc.write(
    `Roll ${lengthWords(doc.context, toMm(plan.rollUm))} wide, ${lengthWords(doc.context, toMm(plan.usableUm))} of it used. ` +
      `The plan takes ${metreWords(doc.context, plan.lengthUm / 1e6)}${gapWords(plan)}; buy ${metreWords(doc.context, fabricM)}, one dye lot. ` +
      `The pile lies along the roll and ${PILE_WORDS[fabric.pile]}: no blank is turned. Sizes: across, then along the roll. Mark each blank's name and a pile arrow on its back before cutting.`,
  );
  if (plan.placed.length === 0) return;
  const columns = Math.max(1, Math.ceil(plan.lengthUm / COLUMN_UM));
  for (let column = 0, box = doc.room(); column < columns; column++) {
    const place = column % COLUMNS_ON_PAGE;
    if (place === 0 && column > 0) {
      doc.section("Fabric cut plan, continued");
      box = doc.room();
    }
    const width = (box.x1 - box.x0) / COLUMNS_ON_PAGE;
    const from = column * COLUMN_UM;
    doc.addAll(
      drawRoll(doc.context, plan, from, Math.min(plan.lengthUm, from + COLUMN_UM), {
        x0: box.x0 + place * width,
        x1: box.x0 + (place + 1) * width,
        y0: box.y0,
        y1: box.y1 - 4,
      }),
    );
  }
  sizeList(doc, plan);
}

/** How far from the shortest a plan can be: nothing proves how short that is, only that it is no shorter. */
function gapWords({ lengthUm, leastUm }: CutPlan): string {
  if (leastUm === 0) return "";
  const gap = lengthUm / leastUm - 1;
  return gap < 0.001
    ? ", which no plan beats"
    : `, at most ${Math.ceil(gap * 100)} % more than the shortest there can be`;
}

/** Every size once, with the blanks of it: what the drawing has no room for stands here. */
function sizeList(doc: PackDocument, { placed }: CutPlan): void {
  const bySize = new Map<string, string[]>();
  for (const { name, acrossUm, alongUm } of placed) {
    const size = `${sizeWords(doc.context, toMm(acrossUm))} \u00D7 ${sizeWords(doc.context, toMm(alongUm))}`;
    bySize.set(size, [...(bySize.get(size) ?? []), name]);
  }
  doc.section("Blanks by size");
  doc.write("Across the roll, then along it.");
  doc.table(
    [
      { title: "size", share: 3, bold: true },
      { title: "how many", share: 1, align: "right" },
      { title: "blanks", share: 8 },
    ],
    [...bySize].map(([size, names]) => [size, String(names.length), names.join(", ")]),
  );
}

function drawRoll(context: SheetContext, plan: CutPlan, fromUm: number, toUm: number, box: BoxMm): Item[] {
  const scale = Math.min((box.x1 - box.x0 - 18) / toMm(plan.rollUm), (box.y1 - box.y0 - 6) / toMm(COLUMN_UM));
  const at = (x: number, y: number): [number, number] => [
    box.x0 + 16 + toMm(x) * scale,
    box.y0 + 4 + toMm(y - fromUm) * scale,
  ];
  const items: Item[] = [];
  const [left, foot] = at(0, fromUm);
  const [right, top] = at(plan.rollUm, toUm);
  items.push(
    rectangle("ROLL", [left, foot], [right - left, top - foot], {
      stroke: { widthMm: WEIGHT.thick, grey: GREY.black },
    }),
  );
  const [edge] = at(plan.usableUm, fromUm);
  items.push(
    line("ROLL", [edge, foot], [edge, top], { widthMm: WEIGHT.thin, grey: GREY.mid, dashMm: [2, 1] }),
  );
  const feet = context.plan.job.units === "ft-in";
  const tickUm = feet ? TICK_UM.feet : TICK_UM.metres;
  for (let k = Math.ceil(fromUm / tickUm); k * tickUm <= toUm; k++) {
    const [, y] = at(0, k * tickUm);
    const words = feet ? `${k * 5}\u2032` : `${k} m`;
    items.push(
      line("ROLL", [left - 2, y], [left, y], { widthMm: WEIGHT.thin, grey: GREY.black }),
      text("ROLL", [left - 3, y - 0.9], words, FINE_MM, { align: "right" }),
    );
  }
  items.push(...pileArrow(left - 10, foot + 26));
  for (const blank of plan.placed) {
    if (blank.yUm + blank.alongUm <= fromUm || blank.yUm >= toUm) continue;
    const [x, y] = at(blank.xUm, Math.max(blank.yUm, fromUm));
    const [x1, y1] = at(blank.xUm + blank.acrossUm, Math.min(blank.yUm + blank.alongUm, toUm));
    items.push(
      rectangle("BLANKS", [x, y], [x1 - x, y1 - y], {
        stroke: { widthMm: WEIGHT.medium, grey: GREY.black },
        fillGrey: GREY.wash,
      }),
    );
    items.push(...blankWords(context, blank, { x0: x, y0: y, x1, y1 }, fromUm, toUm));
  }
  return items;
}

/** Name and size in a blank; on a narrow one turned along it; a part on another column says so. */
function blankWords(
  context: SheetContext,
  blank: CutPlan["placed"][number],
  { x0, y0, x1, y1 }: BoxMm,
  fromUm: number,
  toUm: number,
): Item[] {
  const parted = blank.yUm < fromUm || blank.yUm + blank.alongUm > toUm;
  const size = `${sizeWords(context, toMm(blank.acrossUm))} \u00D7 ${sizeWords(context, toMm(blank.alongUm))}`;
  const name = `${blank.name}${parted ? (blank.yUm < fromUm ? " rest" : " on") : ""}`;
  const upright = x1 - x0 < y1 - y0;
  const [along, across] = upright ? [y1 - y0, x1 - x0] : [x1 - x0, y1 - y0];
  const { typeface } = context;
  const both = `${name}  ${size}`;
  const [x, y] = [(x0 + x1) / 2, (y0 + y1) / 2];
  const put = (words: string, aside: number, bold: boolean, em: number): Item =>
    text("BLANKS", upright ? [x + em * 0.36 - aside, y] : [x, y - em * 0.36 + aside], words, em, {
      align: "centre",
      bold,
      turnDeg: upright ? 90 : 0,
    });
  const wide = (words: string, em: number, bold: boolean) => typeface.widthMm(words, em, bold) <= along - 1;
  // Two lines where they fit, one line else, at last the name alone: the list below has every size.
  if (across >= 8 && wide(size, FINE_MM, false) && wide(name, 3.2, true))
    return [put(name, 1.9, true, 3.2), put(size, -1.9, false, FINE_MM)];
  if (across >= 3 && wide(both, FINE_MM, false)) return [put(both, 0, false, FINE_MM)];
  return across >= 3 ? [put(wide(name, FINE_MM, true) ? name : blank.name, 0, true, FINE_MM)] : [];
}

function pileArrow(x: number, y: number): Item[] {
  return [
    line("PILE", [x, y - 14], [x, y + 10], { widthMm: WEIGHT.thick, grey: GREY.black }),
    { kind: "path", layer: "PILE", rings: [[[x, y + 14], [x - 1.8, y + 9], [x + 1.8, y + 9]]], closed: true, fillGrey: GREY.black }, // prettier-ignore
    text("PILE", [x - 1.6, y - 4], "pile", 3, { turnDeg: 90, align: "centre" }),
  ];
}

/** The whole roll in true millimetres, as a drawing for screens and cutters. */
export function drawCutPlan(context: SheetContext, plan: CutPlan): Drawing {
  const rollMm = toMm(plan.rollUm);
  const lengthMm = Math.max(1, toMm(plan.lengthUm));
  const items: Item[] = [
    rectangle("ROLL", [0, 0], [rollMm, lengthMm], { stroke: { widthMm: 3, grey: GREY.black } }),
    line("ROLL", [toMm(plan.usableUm), 0], [toMm(plan.usableUm), lengthMm], {
      widthMm: 1,
      grey: GREY.mid,
      dashMm: [20, 10],
    }),
  ];
  for (const { name, xUm, yUm, acrossUm, alongUm } of plan.placed) {
    const [x, y, w, h] = [xUm, yUm, acrossUm, alongUm].map(toMm) as [number, number, number, number];
    const size = Math.min(60, w * 0.25, h * 0.4);
    items.push(
      rectangle("BLANKS", [x, y], [w, h], { stroke: { widthMm: 1, grey: GREY.black } }),
      text("BLANKS", [x + w / 2, y + h / 2], context.clean(name), size, { align: "centre" }),
    );
  }
  return {
    title: `${context.clean(context.plan.job.title)}: fabric cut plan`,
    widthMm: rollMm,
    heightMm: lengthMm,
    items,
    zeroMm: [0, 0],
  };
}
