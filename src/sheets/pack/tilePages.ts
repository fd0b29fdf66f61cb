import type { Difference } from "../../asBuilt/built.ts";
import type { Bundles, Strand } from "../../bundles/types.ts";
import { CAP_HEIGHT, GREY, WEIGHT, text, type Item } from "../../drawing/drawing.ts";
import { placeLabels } from "../../drawing/labels.ts";
import type { BoxMm } from "../../drawing/clip.ts";
import { fitted } from "../../drawing/words.ts";
import type { PointMm } from "../../geometry/types.ts";
import { holeMm } from "../../pattern/packing.ts";
import type { Hole } from "../../pattern/types.ts";
import { groupBy } from "../../groupBy.ts";
import { spareFor } from "../../takeoff/order.ts";
import { wallAbove } from "../bearings.ts";
import { FINE_MM, tilesWithHoles, type SheetContext, type TileHoles } from "../context.ts";
import { asRead, viewOf } from "../view.ts";
import type { PackDocument } from "./document.ts";
import { cutWords, metreWords, runs } from "./words.ts";
import { toMm } from "../../geometry/um.ts";

/** A tile with few holes, and one with more than stand beside so small a map. */
const MAP_MM = { few: 58, many: 96 };
/** A line of the list is no longer than an eye follows. */
const LINE_MM = 84;
const ROW_MM = 3.6;
const COLUMNS = 2;
/** Rows of a list under the map; a longer list goes on below, or overleaf. */
const ROWS_AT_ONCE = 30;
const LAYER = "TEXT";

/** For whoever stands on the ladder: each tile with its numbered holes, what is behind every number, and what became of it. */
export function tilePagesSection(
  doc: PackDocument,
  bundles: Bundles,
  differences: readonly Difference[],
): void {
  const { context } = doc;
  const strandsOf = new Map<number, Strand[]>();
  for (const strand of bundles.strands)
    strandsOf.set(strand.hole, [...(strandsOf.get(strand.hole) ?? []), strand]);
  doc.section("Tile by tile, looking up");
  const channels = context.plan.job.bundles.twinkle.kind === "channels";
  doc.write(
    "As seen from below; numbers are those of the punch templates and of strands.csv. Each line: number, star, strand, cut length, " +
      (channels ? "engine and channel (C 4: engine C, channel 4)." : "engine."),
  );
  const since = groupBy(differences, ({ tile }) => tile);
  for (const part of tilesWithHoles(context.plan))
    tileBlock(doc, part, strandsOf, since.get(part.tile.name) ?? []);
}

function tileBlock(
  doc: PackDocument,
  part: TileHoles,
  strandsOf: ReadonlyMap<number, Strand[]>,
  since: readonly Difference[],
): void {
  const { context } = doc;
  const { tile, holes } = part;
  const many = holes.length > COLUMNS * Math.floor(MAP_MM.few / ROW_MM);
  const mapMm = many ? MAP_MM.many : MAP_MM.few;
  const besideColumns = many ? 1 : COLUMNS;
  const beside = holes.slice(0, besideColumns * Math.floor(mapMm / ROW_MM));
  const below = holes.slice(beside.length);
  const { widthMm, heightMm } = viewOf(tile, "face");
  const mapHeightMm = Math.min(mapMm, (mapMm * heightMm) / widthMm);
  const besideMm = Math.max(mapHeightMm, Math.ceil(beside.length / besideColumns) * ROW_MM) + 2;
  doc.together(besideMm + (since.length > 0 ? 24 : 18) + Math.ceil(below.length / COLUMNS) * ROW_MM);
  const own = holes.flatMap((hole) => strandsOf.get(hole.id) ?? []);
  const engines = [...new Set(own.map(({ engine }) => engine))].sort();
  doc.heading(
    `Tile ${tile.name}: ${holes.length} holes${engines.length > 0 ? `, engine ${engines.join(" and ")}` : ", no engine"}`,
  );
  doc.write(
    `Arrow on its back to ${wallAbove(context.plan, tile)}. ${spareWords(context, holes, own, since)}`,
    FINE_MM,
  );
  if (since.length > 0)
    doc.write(`${since.map(({ number, words }) => `No. ${number}: ${words}`).join("; ")}.`, FINE_MM, {
      bold: true,
    });
  const list = (some: readonly Hole[], columns: number, { x0, x1, y1 }: BoxMm) => {
    const rows = Math.ceil(some.length / columns);
    const width = (x1 - x0) / columns;
    some.forEach((hole, i) => {
      const at: PointMm = [x0 + Math.floor(i / rows) * width, y1 - ROW_MM * ((i % rows) + 1) + 0.8];
      doc.addAll(holeLine(context, hole, strandsOf.get(hole.id) ?? [], at, Math.min(LINE_MM, width - 3)));
    });
  };
  const box = doc.room(besideMm);
  doc.addAll(tileMap(context, part, { ...box, x1: box.x0 + mapMm, y0: box.y1 - mapMm }));
  list(beside, besideColumns, { ...box, x0: box.x0 + mapMm + 5 });
  for (let from = 0; from < below.length; from += COLUMNS * ROWS_AT_ONCE) {
    const some = below.slice(from, from + COLUMNS * ROWS_AT_ONCE);
    list(some, COLUMNS, doc.room(Math.ceil(some.length / COLUMNS) * ROW_MM + 1));
  }
}

function holeLine(
  context: SheetContext,
  hole: Hole,
  strands: readonly Strand[],
  [x, y]: PointMm,
  width: number,
): Item[] {
  const { typeface } = context;
  const [first] = strands;
  const count = strands.length > 1 ? `${strands.length} \u00D7 ` : "";
  const channel = first?.channel == null ? "" : ` ${first.channel}`;
  const end = `${count}${hole.diameterMm} mm, ${first ? `${cutWords(context, strands)}, ${first.engine}${channel}` : "no strand"}`;
  const endMm = typeface.widthMm(end, FINE_MM);
  const name = context.clean(hole.name) || (hole.kind === "filler" ? "filler" : `HIP ${hole.star}`);
  return [
    text(LAYER, [x + 6, y], String(hole.numberInTile), FINE_MM, { align: "right", bold: true }),
    text(LAYER, [x + 8, y], shortest(name, hole.star, width - 9.5 - endMm, context), FINE_MM, {
      grey: hole.kind === "filler" ? GREY.dark : GREY.black,
    }),
    text(LAYER, [x + width, y], end, FINE_MM, { align: "right" }),
  ];
}

/** "Garnet Star (\u03BC Cep)" in full, as "Garnet Star", as "\u03BC Cep", or by its number in the catalogue: what fits. */
function shortest(name: string, star: number | null, widthMm: number, { typeface }: SheetContext): string {
  const parts = /^(.+) \((.+)\)$/.exec(name);
  const ways = [name, ...(parts ? [parts[1]!, parts[2]!] : []), ...(star === null ? [] : [`HIP ${star}`])];
  return (
    ways.find((way) => typeface.widthMm(way, FINE_MM) <= widthMm) ??
    fitted(ways.at(-1)!, widthMm, FINE_MM, typeface)
  );
}

/** What lies coiled behind the tile, and which numbers it can't stand in for. */
function spareWords(
  context: SheetContext,
  holes: readonly Hole[],
  own: readonly Strand[],
  since: readonly Difference[],
): string {
  const each = context.plan.job.takeoff.spareStrandsPerTile;
  const spare = spareFor(own);
  if (each === 0 || !spare) return "No spare strand lies behind it.";
  const numbers = new Map(holes.map(({ id, numberInTile }) => [id, numberInTile]));
  const not = own
    .filter((s) => s.diameterMm !== spare.diameterMm || s.needM > spare.lengthM)
    .map((s) => numbers.get(s.hole)!);
  const used = since.some((told) => told.spare?.diameterMm === spare.diameterMm);
  const what = `Spare behind it: ${each} of ${spare.diameterMm} mm, ${metreWords(context, spare.lengthM)}${used ? " (one such was used since: see that it is there)" : ""}`;
  if (not.length === 0) return `${what}; it reaches for every number.`;
  return `${what}; it reaches for every number but ${runs([...new Set(not)])}, whose strand is of another diameter or longer.`;
}

function tileMap(context: SheetContext, { tile, holes }: TileHoles, box: BoxMm): Item[] {
  const view = viewOf(tile, "face");
  const scale = Math.min((box.x1 - box.x0) / view.widthMm, (box.y1 - box.y0) / view.heightMm);
  const top = box.y1;
  const at = (place: PointMm): PointMm => {
    const [u, v] = asRead(view, place);
    return [box.x0 + u * scale, top - (view.heightMm - v) * scale];
  };
  const outline = tile.outline.map((ring) =>
    ring.map(({ x, y }) => at([toMm(x - tile.box.minX), toMm(y - tile.box.minY)])),
  );
  const items: Item[] = [
    {
      kind: "path",
      layer: "TILES",
      rings: outline,
      closed: true,
      stroke: { widthMm: WEIGHT.medium, grey: GREY.black },
    },
  ];
  const centres = holes.map((hole) => at([hole.tileXMm, hole.tileYMm]));
  const radius = (hole: Hole) => 0.35 + holeMm(hole) * 0.35;
  holes.forEach((hole, i) =>
    items.push({
      kind: "circle",
      layer: "STARS",
      centre: centres[i]!,
      radiusMm: radius(hole),
      ...(hole.kind === "filler"
        ? { stroke: { widthMm: WEIGHT.hair, grey: GREY.black } }
        : { fillGrey: GREY.black }),
    }),
  );
  const placed = placeLabels(
    holes.map((hole, i) => ({
      centre: centres[i]!,
      reachMm: radius(hole) + 0.1,
      widthMm: context.typeface.widthMm(String(hole.numberInTile), FINE_MM),
      heightMm: FINE_MM * CAP_HEIGHT,
    })),
    [],
    {
      x0: box.x0 + 0.4,
      y0: top - view.heightMm * scale + 0.4,
      x1: box.x0 + view.widthMm * scale - 0.4,
      y1: top - 0.4,
    },
  );
  placed.forEach(({ box: own, leader }, i) => {
    items.push(text("NUMBERS", [own.x0, own.y0], String(holes[i]!.numberInTile), FINE_MM));
    if (leader)
      items.push({
        kind: "path",
        layer: "NUMBERS",
        rings: [leader],
        closed: false,
        stroke: { widthMm: WEIGHT.hair, grey: GREY.mid },
      });
  });
  return items;
}
