import type { PointMm } from "../geometry/types.ts";
import type { BoxMm } from "../drawing/clip.ts";
import { FINE_MM } from "./context.ts";
import { BAR_FIELD_MM, type Page } from "./pages.ts";
import { GREY, WEIGHT, text, type Item } from "../drawing/drawing.ts";
import { FACTS } from "../trade/facts.ts";

/** The bars that prove the scale. */
export const BAR_MM = FACTS.barMm.value;
export const BAR_TOLERANCE_MM = FACTS.barToleranceMm.value;
/** Where there is room, a bar twice as long shows half the error; its middle is marked as long as its ends. */
const LONG_BAR_MM = 2 * BAR_MM;

/** The bar that a line of that length has room for. */
export const barFor = (roomMm: number): number => (roomMm >= LONG_BAR_MM + 60 ? LONG_BAR_MM : BAR_MM);

/** "150 mm ± 0.3 mm (0.2 %)" */
export const barWords = (barMm: number): string =>
  `${barMm} mm \u00B1 ${(BAR_TOLERANCE_MM * barMm) / BAR_MM} mm (0.2 %)`;

const LAYER = "BARS";
const STROKE = { widthMm: WEIGHT.medium, grey: GREY.black };
const END_TICK_MM = 4;

/** A lying (or standing) bar; its two outer long ticks are `barMm` apart, middle to middle. */
export function drawBar([x, y]: PointMm, upright: boolean, barMm: number = BAR_MM): Item[] {
  const at = (along: number, across: number): PointMm =>
    upright ? [x - across, y + along] : [x + along, y + across];
  const lines: PointMm[][] = [[at(0, 0), at(barMm, 0)]];
  for (let mm = 0; mm <= barMm; mm += 10) {
    const end = mm % BAR_MM === 0;
    lines.push([at(mm, 0), at(mm, end ? END_TICK_MM : mm % 50 === 0 ? 2.2 : 1.2)]);
  }
  const items: Item[] = [{ kind: "path", layer: LAYER, rings: lines, closed: false, stroke: STROKE }];
  for (let mm = 50; mm < barMm; mm += 50)
    items.push(
      text(LAYER, at(mm, 2.7), String(mm), FINE_MM, {
        align: "centre",
        turnDeg: upright ? 90 : 0,
        grey: GREY.dark,
      }),
    );
  if (upright)
    items.push(text(LAYER, at(BAR_MM / 2, 2.7), barWords(barMm), FINE_MM, { align: "centre", turnDeg: 90 }));
  return items;
}

/** Room that a standing bar takes to its left, and a little air round it. */
const barBox = ([x, y]: PointMm, barMm: number): BoxMm => ({
  x0: x - 5,
  y0: y - 1,
  x1: x + 1,
  y1: y + barMm + 1,
});

/**
 * Where the standing bar is least in the way: the free corridor of the field with most air to the marks,
 * the outermost of equals. Beside a low field it stands in the room kept for it. `avoidX`: upright lines
 * (edges of the tile and of its punchable area) that it must not hide.
 */
export function placeUprightBar({ field, printable }: Page, marks: PointMm[], avoidX: number[]): PlacedBar {
  if (field.y1 - field.y0 < BAR_FIELD_MM) return placed([printable.x1 - 0.5, printable.y0 + 0.5], BAR_MM);
  const barMm = barFor(field.y1 - field.y0);
  const feet = [field.y0 + 3, (field.y0 + field.y1 - barMm) / 2, field.y1 - barMm - 3];
  let best: PlacedBar | null = null;
  let most = -Infinity;
  for (let x = field.x0 + CLEAR_OF_TICKS_MM; x <= field.x1 - CLEAR_OF_TICKS_MM; x += 2)
    for (const y of feet) {
      const here = placed([x, y], barMm);
      const sideways = Math.min(x - field.x0, field.x1 - x) / 1000;
      let air = ENOUGH_AIR_MM;
      for (const edge of avoidX) air = Math.min(air, Math.max(here.box.x0 - edge, edge - here.box.x1));
      for (let i = 0; i < marks.length && air - sideways > most; i++)
        air = Math.min(air, distance(marks[i]!, here.box));
      if (air - sideways > most) {
        most = air - sideways;
        best = here;
      }
    }
  return best!;
}

interface PlacedBar {
  foot: PointMm;
  barMm: number;
  box: BoxMm;
}

const placed = (foot: PointMm, barMm: number): PlacedBar => ({ foot, barMm, box: barBox(foot, barMm) });

/** The numbers at the frame's ticks end here. */
const CLEAR_OF_TICKS_MM = 17;
/** Beyond this, more air to the next mark is no better. */
const ENOUGH_AIR_MM = 7;

function distance([x, y]: PointMm, box: BoxMm): number {
  const dx = Math.max(box.x0 - x, x - box.x1);
  const dy = Math.max(box.y0 - y, y - box.y1);
  return Math.max(dx, dy);
}
