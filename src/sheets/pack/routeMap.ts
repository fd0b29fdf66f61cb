import type { Bundles } from "../../bundles/types.ts";
import type { PointMm } from "../../geometry/types.ts";
import { GREY, WEIGHT, rectangle, text, type Item } from "../../drawing/drawing.ts";
import type { SheetContext } from "../context.ts";
import { drawMap, type CeilingMap } from "./map.ts";
import type { BoxMm } from "../../drawing/clip.ts";
import { hatch } from "../../drawing/clip.ts";

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
  const notes: Item[] = [];
  for (const { name, polygonMm, undersideMm } of job.bundles.obstacles) {
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
    const x = ring.reduce((sum, p) => sum + p[0], 0) / ring.length;
    const top = Math.max(...ring.map((p) => p[1]));
    const words = [context.clean(name), undersideMm > 0 ? `${undersideMm} mm up` : ""]
      .filter(Boolean)
      .join(", ");
    const half = context.typeface.widthMm(words, 2.5) / 2 + 0.3;
    notes.push(
      rectangle("VOID", x - half, top + 0.2, 2 * half, 2.2, { fillGrey: GREY.white }),
      text("VOID", [x, top + 0.5], words, 2.5, { align: "centre", grey: GREY.dark }),
    );
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
  return [...items, ...notes];
}

/** A black square with its letter where each engine stands. */
export function drawEngines(map: CeilingMap, { engines }: Bundles): Item[] {
  return engines.flatMap(({ letter, atMm }): Item[] => {
    const [x, y] = map.at(atMm);
    return [
      rectangle("ENGINES", x - 3, y - 3, 6, 6, { fillGrey: GREY.black }),
      text("ENGINES", [x, y - 1.6], letter, 4.4, { align: "centre", bold: true, grey: GREY.white }),
    ];
  });
}
