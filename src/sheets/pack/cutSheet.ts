import type { CutPlan } from "../../takeoff/types.ts";
import type { PointMm } from "../../geometry/types.ts";
import type { BoxMm } from "../../drawing/clip.ts";
import type { SheetContext } from "../context.ts";
import { GREY, WEIGHT, line, rectangle, text, type Drawing, type Item } from "../../drawing/drawing.ts";
import { fitted } from "../../drawing/words.ts";
import type { PackDocument } from "./document.ts";
import { lengthWords } from "./words.ts";

/** The roll runs upward on the sheet, in columns side by side. */
const COLUMN_UM = 8_000_000;
const COLUMNS_ON_PAGE = 3;

/** The cut plan on as many pages as its length asks for. */
export function cutPlanSection(doc: PackDocument, plan: CutPlan, fabricM: number): void {
  const { fabric } = doc.context.plan.job.takeoff;
  doc.section("Fabric cut plan");
  doc.write(
    `Roll ${lengthWords(doc.context, plan.rollUm / 1000)} wide, ${lengthWords(doc.context, plan.usableUm / 1000)} of it used. ` +
      `The plan takes ${(plan.lengthUm / 1e6).toFixed(2)} m (no plan can take less than ${(plan.leastUm / 1e6).toFixed(2)} m); buy ${fabricM.toFixed(1)} m, one dye lot. ` +
      `The pile lies along the roll and ${fabric.pile}: no blank is turned. Sizes: across, then along the roll. Mark each blank's name and a pile arrow on its back before cutting.`,
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
    doc.add(
      ...drawRoll(doc.context, plan, from, Math.min(plan.lengthUm, from + COLUMN_UM), {
        x0: box.x0 + place * width,
        x1: box.x0 + (place + 1) * width,
        y0: box.y0,
        y1: box.y1 - 4,
      }),
    );
  }
}

function drawRoll(context: SheetContext, plan: CutPlan, fromUm: number, toUm: number, box: BoxMm): Item[] {
  const scale = Math.min(
    (box.x1 - box.x0 - 18) / (plan.rollUm / 1000),
    (box.y1 - box.y0 - 6) / (COLUMN_UM / 1000),
  );
  const at = (x: number, y: number): [number, number] => [
    box.x0 + 16 + (x / 1000) * scale,
    box.y0 + 4 + ((y - fromUm) / 1000) * scale,
  ];
  const items: Item[] = [];
  const [left, foot] = at(0, fromUm);
  const [right, top] = at(plan.rollUm, toUm);
  items.push(
    rectangle("ROLL", left, foot, right - left, top - foot, {
      stroke: { widthMm: WEIGHT.thick, grey: GREY.black },
    }),
  );
  const [edge] = at(plan.usableUm, fromUm);
  items.push(
    line("ROLL", [edge, foot], [edge, top], { widthMm: WEIGHT.thin, grey: GREY.mid, dashMm: [2, 1] }),
  );
  for (let m = Math.ceil(fromUm / 1e6); m * 1e6 <= toUm; m++) {
    const [, y] = at(0, m * 1e6);
    items.push(
      line("ROLL", [left - 2, y], [left, y], { widthMm: WEIGHT.thin, grey: GREY.black }),
      text("ROLL", [left - 3, y - 0.9], `${m} m`, 2.4, { align: "right" }),
    );
  }
  items.push(...pileArrow(left - 10, foot + 26));
  for (const blank of plan.placed) {
    if (blank.yUm + blank.alongUm <= fromUm || blank.yUm >= toUm) continue;
    const [x, y] = at(blank.xUm, Math.max(blank.yUm, fromUm));
    const [x1, y1] = at(blank.xUm + blank.acrossUm, Math.min(blank.yUm + blank.alongUm, toUm));
    items.push(
      rectangle("BLANKS", x, y, x1 - x, y1 - y, {
        stroke: { widthMm: WEIGHT.medium, grey: GREY.black },
        fillGrey: GREY.wash,
      }),
    );
    // A blank that goes on in the next column is named where most of it lies.
    if ((y1 - y) / scale < blank.alongUm / 2000) continue;
    const size = Math.min(4, (x1 - x) * 0.28, (y1 - y) * 0.4);
    const words = (value: string, most: number) => fitted(value, x1 - x - 0.8, most, context.typeface);
    const middle = (x + x1) / 2;
    items.push(
      text("BLANKS", [middle, (y + y1) / 2], words(blank.name, size), size, { align: "centre", bold: true }),
    );
    const small = Math.min(2.2, size * 0.6);
    const sides = [
      lengthWords(context, blank.acrossUm / 1000),
      `\u00D7 ${lengthWords(context, blank.alongUm / 1000)}`,
    ];
    if (y1 - y < 2 * size + 4 * small) continue;
    sides.forEach((side, i) => {
      const at: PointMm = [middle, (y + y1) / 2 - size * 0.75 - i * small * 1.3];
      items.push(text("BLANKS", at, words(side, small), small, { align: "centre" }));
    });
  }
  return items;
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
  const rollMm = plan.rollUm / 1000;
  const lengthMm = Math.max(1, plan.lengthUm / 1000);
  const items: Item[] = [
    rectangle("ROLL", 0, 0, rollMm, lengthMm, { stroke: { widthMm: 3, grey: GREY.black } }),
    line("ROLL", [plan.usableUm / 1000, 0], [plan.usableUm / 1000, lengthMm], {
      widthMm: 1,
      grey: GREY.mid,
      dashMm: [20, 10],
    }),
  ];
  for (const { name, xUm, yUm, acrossUm, alongUm } of plan.placed) {
    const [x, y, w, h] = [xUm, yUm, acrossUm, alongUm].map((um) => um / 1000) as [
      number,
      number,
      number,
      number,
    ];
    const size = Math.min(60, w * 0.25, h * 0.4);
    items.push(
      rectangle("BLANKS", x, y, w, h, { stroke: { widthMm: 1, grey: GREY.black } }),
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
