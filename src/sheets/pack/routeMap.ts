import type { Bundles } from "../../bundles/types.ts";
import type { PointMm } from "../../geometry/types.ts";
import { CAP_HEIGHT, GREY, WEIGHT, rectangle, text, type Item } from "../../drawing/drawing.ts";
import type { SheetContext } from "../context.ts";
import { drawMap, type CeilingMap } from "./map.ts";
import type { BoxMm } from "../../drawing/clip.ts";
import { hatch } from "../../drawing/clip.ts";
import { placeLabels } from "../../drawing/labels.ts";
import { boxOfText } from "../../drawing/words.ts";
import { lengthWords } from "./words.ts";

/** Dashes that tell engines apart where letters can't. */
const DASHES: readonly (number[] | undefined)[] = [undefined, [2.4, 0.8], [0.8, 0.8], [4, 1.2], [1.6, 1.6]];
/** Runs of different engines on one line lie beside one another. */
const BESIDE_MM = 0.55;

/** Tails of different engines on one tile. */
const BESIDE_CIRCLE_MM = 4;

/** Engines, runs above the grid with a tag on each tile's tail, and what stands in the void. */
export function drawRoutes(context: SheetContext, bundles: Bundles, box: BoxMm): Item[] {
  const { job } = context.plan;
  const engines = bundles.engines.map(({ letter }) => letter);
  const letters = new Map<string, string[]>();
  for (const { tile, engine } of bundles.tails) letters.set(tile, [...(letters.get(tile) ?? []), engine]);
  const map = drawMap(context, "back", box, {
    tileGrey: (tile) => (letters.has(tile.name) ? GREY.white : GREY.wash),
  });
  const items: Item[] = [...map.items];
  const things: PointMm[][] = [];
  for (const { polygonMm } of job.bundles.obstacles) {
    const ring = polygonMm.map(map.at);
    const lines = hatch([ring], 2);
    if (lines.length > 0)
      items.push({
        kind: "path",
        layer: "VOID",
        rings: lines,
        closed: false,
        stroke: { widthMm: WEIGHT.thin, grey: GREY.mid },
      });
    items.push({
      kind: "path",
      layer: "VOID",
      rings: [ring],
      closed: true,
      stroke: { widthMm: WEIGHT.thin, grey: GREY.dark },
    });
    things.push(ring);
  }
  for (const tail of bundles.tails) {
    const e = engines.indexOf(tail.engine);
    const aside = (e - (engines.length - 1) / 2) * BESIDE_MM;
    const points = tail.routeMm.map(map.at).map(([x, y]): PointMm => [x + aside, y + aside]);
    const dashMm = DASHES[e % DASHES.length];
    items.push({
      kind: "path",
      layer: `RUN-${tail.engine}`,
      rings: [points],
      closed: false,
      stroke: { widthMm: WEIGHT.medium, grey: GREY.black, ...(dashMm ? { dashMm } : {}) },
    });
    const [endX, endY] = points.at(-1)!;
    const own = letters.get(tail.tile)!;
    const end: PointMm = [endX + (own.indexOf(tail.engine) - (own.length - 1) / 2) * BESIDE_CIRCLE_MM, endY];
    items.push(
      {
        kind: "circle",
        layer: `RUN-${tail.engine}`,
        centre: end,
        radiusMm: 1.7,
        fillGrey: GREY.white,
        stroke: { widthMm: WEIGHT.thin, grey: GREY.black },
      },
      text(`RUN-${tail.engine}`, [end[0], end[1] - 0.85], tail.engine, 2.5, { align: "centre", bold: true }),
    );
  }
  items.push(...drawEngines(map, bundles));
  return [...items, ...lettersOf(context, things, items, box)];
}

/** What stands in the void, by its letter on the route plan. */
export function voidWords(context: SheetContext): string {
  const named = context.plan.job.bundles.obstacles.map(({ name, undersideMm }, i) => {
    const up = undersideMm > 0 ? `${lengthWords(context, undersideMm)} up` : "";
    return `${letterOf(i)} ${[name, up].filter(Boolean).join(", ")}`;
  });
  return named.length === 0 ? "" : ` In the void: ${named.join("; ")}.`;
}

const letterOf = (index: number): string => String.fromCharCode("a".charCodeAt(0) + (index % 26));

/** Letters in or beside what stands in the void, clear of words, tails and engines. */
function lettersOf(
  context: SheetContext,
  things: readonly PointMm[][],
  drawn: readonly Item[],
  bounds: BoxMm,
): Item[] {
  const taken = drawn.flatMap((item): BoxMm[] => {
    if (item.kind === "text") return [boxOfText(item, context.typeface)];
    if (item.kind !== "circle") return [];
    const [x, y] = item.centre;
    return [{ x0: x - item.radiusMm, x1: x + item.radiusMm, y0: y - item.radiusMm, y1: y + item.radiusMm }];
  });
  const size = 3.2;
  const wishes = things.map((ring, i) => ({
    centre: [0, 1].map((axis) => ring.reduce((sum, place) => sum + place[axis]!, 0) / ring.length) as PointMm,
    reachMm: 0,
    widthMm: context.typeface.widthMm(letterOf(i), size, true),
    heightMm: size * CAP_HEIGHT,
  }));
  return placeLabels(wishes, taken, bounds).flatMap(({ box: { x0, x1, y0, y1 } }, i) => [
    rectangle("VOID", [x0 - 0.4, y0 - 0.4], [x1 - x0 + 0.8, y1 - y0 + 0.8], { fillGrey: GREY.white }),
    text("VOID", [x0, y0], letterOf(i), size, { bold: true }),
  ]);
}

/** A black square with its letter where each engine stands. */
export function drawEngines(map: CeilingMap, { engines }: Bundles): Item[] {
  return engines.flatMap(({ letter, atMm }): Item[] => {
    const [x, y] = map.at(atMm);
    return [
      rectangle("ENGINES", [x - 3, y - 3], [6, 6], { fillGrey: GREY.black }),
      text("ENGINES", [x, y - 1.6], letter, 4.4, { align: "centre", bold: true, grey: GREY.white }),
    ];
  });
}
