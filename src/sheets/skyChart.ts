import { FINE_MM } from "./context.ts";
import { drawnFrom, mapPoint } from "../ceiling/flip.ts";
import type { Area, PointMm } from "../geometry/types.ts";
import { holeLight } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import type { Figure } from "../sky/types.ts";
import { bearingOnSheet, northLetter } from "./bearings.ts";
import type { BoxMm } from "../drawing/clip.ts";
import type { SheetContext } from "./context.ts";
import { line, text, type Ink, type Item } from "../drawing/drawing.ts";
import { alongLine, placeLabels } from "../drawing/labels.ts";
import { toMm, toUm } from "../geometry/um.ts";
import { wallName, wallsOnSheet } from "./wallNames.ts";

/** Names are put beside stars at least this bright, and all bodies. */
const NAMED_TO_MAGNITUDE = 1.8;
/** A figure is named when this part of its stars has a hole, and it has at least so many. */
const NAMED_SHARE = 0.6;
const NAMED_STARS = 4;
/** So many of the brightest have a halo. */
const HALOES = 30;
/** Room round the ceiling for the names of the walls. */
const AROUND = 6;
const WALL_MM = 2.5;

const INK = {
  night: "#0a0f1d",
  tee: "#1a2236",
  plain: "#131a2b",
  edge: "#3a4765",
  zone: "#222c45",
  figure: "#5f78ad",
  figureName: "#8296c4",
  filler: "#93a0bf",
  star: "#ffffff",
  halo: "#1c2947",
  body: "#ffe2a3",
  name: "#d5deef",
} as const satisfies Record<string, Ink>;

/**
 * The ceiling as seen looking up, dark, from its holes: tees, fittings, figures, strands by diameter, names,
 * walls round it. Fills `box` as far as the room's shape lets it.
 */
export function drawSkyChart(
  context: SheetContext,
  figures: readonly Figure[],
  box: BoxMm,
  wallInk: Ink = "#44506a",
): Item[] {
  const { plan, typeface, clean } = context;
  const { ceiling, pattern } = plan;
  const room = ceiling.box;
  const widthMm = toMm(room.maxX - room.minX);
  const heightMm = toMm(room.maxY - room.minY);
  const scale = Math.min((box.x1 - box.x0 - 2 * AROUND) / widthMm, (box.y1 - box.y0 - 2 * AROUND) / heightMm);
  const left = (box.x0 + box.x1 - widthMm * scale) / 2;
  const low = (box.y0 + box.y1 - heightMm * scale) / 2;
  const read = drawnFrom("face", room);
  const onSheet = (xUm: number, yUm: number): PointMm => {
    const point = mapPoint(read, { x: xUm, y: yUm });
    return [left + toMm(point.x) * scale, low + toMm(point.y) * scale];
  };
  const rings = (area: Area): PointMm[][] => area.map((ring) => ring.map(({ x, y }) => onSheet(x, y)));
  const ofHole = (hole: Hole): PointMm => onSheet(toUm(hole.xMm), toUm(hole.yMm));
  const fill = (layer: string, area: Area, ink: Ink): Item => ({
    kind: "path",
    layer,
    rings: rings(area),
    closed: true,
    fillInk: ink,
  });

  const items: Item[] = [fill("NIGHT", ceiling.outline, INK.tee)];
  for (const tile of ceiling.tiles)
    items.push(fill("NIGHT", tile.outline, tile.use === "plain" ? INK.plain : INK.night));
  for (const zone of ceiling.noGo) {
    items.push({
      ...fill("FITTINGS", zone.shape, INK.plain),
      stroke: { widthMm: 0.18, grey: 0.3, ink: INK.edge },
    } as Item);
  }
  items.push(...figureLines(pattern.holes, figures, ofHole));
  for (const strand of strands(pattern.holes, ofHole)) items.push(strand);
  items.push(
    ...names(context, figures, ofHole, {
      x0: left,
      y0: low,
      x1: left + widthMm * scale,
      y1: low + heightMm * scale,
    }),
  );
  items.push({
    kind: "path",
    layer: "OUTLINE",
    rings: rings(ceiling.outline),
    closed: true,
    stroke: { widthMm: 0.35, grey: 0.3, ink: INK.edge },
  });
  for (const wall of wallsOnSheet(context.plan, ([x, y]) => onSheet(toUm(x), toUm(y))))
    for (const { at, words, turnDeg } of wallName(wall, clean(wall.name), 1.6, WALL_MM, typeface))
      items.push(text("WALLS", at, words, WALL_MM, { align: "centre", turnDeg, ink: wallInk }));
  return items;
}

function figureLines(
  holes: readonly Hole[],
  figures: readonly Figure[],
  ofHole: (h: Hole) => PointMm,
): Item[] {
  const byStar = holesByStar(holes);
  const lines: PointMm[][] = [];
  for (const figure of figures) {
    for (const chain of figure.lines) {
      chain.slice(1).forEach((star, i) => {
        const from = byStar.get(chain[i]!);
        const to = byStar.get(star);
        if (!from || !to || from === to) return;
        const short = shortened(ofHole(from), ofHole(to), 0.9);
        if (short !== null) lines.push(short);
      });
    }
  }
  if (lines.length === 0) return [];
  return [
    {
      kind: "path",
      layer: "FIGURES",
      rings: lines,
      closed: false,
      stroke: { widthMm: 0.16, grey: 0.5, ink: INK.figure },
    },
  ];
}

/** A line that stops short of both stars, or null where nothing is left. */
function shortened(a: PointMm, b: PointMm, gap: number): PointMm[] | null {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const length = Math.sqrt(dx * dx + dy * dy);
  if (length < 3 * gap) return null;
  const [ux, uy] = [(dx / length) * gap, (dy / length) * gap];
  return [
    [a[0] + ux, a[1] + uy],
    [b[0] - ux, b[1] - uy],
  ];
}

function holesByStar(holes: readonly Hole[]): Map<number, Hole> {
  const byStar = new Map<number, Hole>();
  for (const hole of holes)
    for (const what of hole.merged) if (typeof what === "number") byStar.set(what, hole);
  for (const hole of holes) if (hole.star !== null) byStar.set(hole.star, hole);
  return byStar;
}

/** Light of one strand of 0.75 mm. */
const THIN = holeLight({ diameterMm: 0.75, strands: 1 });
const isBody = (hole: Hole): boolean => hole.kind === "moon" || hole.kind === "planet";
const radiusOf = (hole: Hole): number =>
  hole.kind === "filler" ? 0.16 : 0.2 * (holeLight(hole) / THIN) ** 0.4;

function strands(holes: readonly Hole[], ofHole: (h: Hole) => PointMm): Item[] {
  const thin = [...holes].sort((a, b) => holeLight(a) - holeLight(b) || a.id - b.id);
  const items: Item[] = [];
  const leading = thin.slice(-HALOES);
  for (const hole of leading) {
    if (hole.kind !== "filler")
      items.push({
        kind: "circle",
        layer: "HALO",
        centre: ofHole(hole),
        radiusMm: radiusOf(hole) * 2.1,
        fillInk: INK.halo,
      });
  }
  for (const hole of thin) {
    const ink = isBody(hole) ? INK.body : hole.kind === "filler" ? INK.filler : INK.star;
    items.push({
      kind: "circle",
      layer: "STRANDS",
      centre: ofHole(hole),
      radiusMm: radiusOf(hole),
      fillInk: ink,
    });
  }
  return items;
}

function names(
  { clean, typeface, plan }: SheetContext,
  figures: readonly Figure[],
  ofHole: (h: Hole) => PointMm,
  bounds: BoxMm,
): Item[] {
  const { holes } = plan.pattern;
  const byStar = holesByStar(holes);
  const wishes: {
    centre: PointMm;
    reachMm: number;
    widthMm: number;
    heightMm: number;
    words: string;
    ink: Ink;
    size: number;
  }[] = [];
  const add = (centre: PointMm, reachMm: number, words: string, size: number, ink: Ink): void => {
    wishes.push({
      centre,
      reachMm,
      words,
      size,
      ink,
      widthMm: typeface.widthMm(words, size),
      heightMm: size * 0.73,
    });
  };
  for (const hole of holes) {
    if (hole.name === "" || !(isBody(hole) || (hole.magnitude ?? 99) <= NAMED_TO_MAGNITUDE)) continue;
    add(ofHole(hole), radiusOf(hole) + 0.5, clean(hole.name), FINE_MM, isBody(hole) ? INK.body : INK.name);
  }
  for (const figure of figures) {
    const stars = [...new Set(figure.lines.flat())];
    const placed = stars.flatMap((star) => byStar.get(star) ?? []).map(ofHole);
    if (placed.length < NAMED_STARS || placed.length < NAMED_SHARE * stars.length) continue;
    const x = placed.reduce((sum, p) => sum + p[0], 0) / placed.length;
    const y = placed.reduce((sum, p) => sum + p[1], 0) / placed.length;
    add([x, y], 0.4, clean(figure.name).toUpperCase(), FINE_MM, INK.figureName);
  }
  const labels = placeLabels(wishes, alongLines(figureLines(holes, figures, ofHole)), bounds);
  return labels.map(({ box }, i) =>
    text("NAMES", [box.x0, box.y0], wishes[i]!.words, wishes[i]!.size, { ink: wishes[i]!.ink }),
  );
}

/** So that words keep off lines. */
const alongLines = (items: readonly Item[]): BoxMm[] =>
  items.flatMap((item) =>
    item.kind === "path" ? (item.rings as [PointMm, PointMm][]).flatMap(([a, b]) => alongLine(a, b)) : [],
  );

/** North and east of the looking-up view, for dark or light pages. */
export function drawNorth(context: SheetContext, [x, y]: PointMm, radiusMm: number, ink: Ink): Item[] {
  const { plan } = context;
  const at = ([ux, uy]: PointMm, k: number): PointMm => [x + ux * k * radiusMm, y + uy * k * radiusMm];
  const size = Math.max(radiusMm * 0.55, FINE_MM);
  const stroke = { widthMm: 0.2, grey: 0.4, ink };
  const points = (["N", "E", "S", "W"] as const).map((letter, i) => ({
    letter,
    way: bearingOnSheet(plan, i * 90, "face"),
  }));
  return [
    line("COMPASS", at(points[2]!.way, 0.6), at(points[0]!.way, 0.75), stroke),
    line("COMPASS", at(points[3]!.way, 0.6), at(points[1]!.way, 0.6), stroke),
    ...points.map(({ letter, way }) => {
      const [lx, ly] = at(way, 1.05);
      const words = letter === "N" ? northLetter(plan) : letter;
      return text("COMPASS", [lx, ly - size * 0.36], words, size, {
        align: "centre",
        bold: letter === "N",
        ink,
      });
    }),
  ];
}
