import { passOf } from "../choose/words.ts";
import { dateAndClock } from "../job/writtenTime.ts";
import { countStrands, holeMm } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import { kindWords } from "../job/noGoKinds.ts";
import { drawnFrom, mapPoint, SIDE_WORDS, type Affine, type Side } from "../ceiling/flip.ts";
import type { Tile } from "../ceiling/types.ts";
import type { Area, PointMm, PointUm } from "../geometry/types.ts";
import type { Figure } from "../sky/types.ts";
import { drawCompass, northWords } from "./bearings.ts";
import { hatch, isInside, type BoxMm } from "../drawing/clip.ts";
import { FINE_MM, diameterWords, type SheetContext } from "./context.ts";
import {
  GREY,
  WEIGHT,
  line,
  text,
  type Drawing,
  type Item,
  type Stroke,
  type TextItem,
} from "../drawing/drawing.ts";
import { placeLabels } from "../drawing/labels.ts";
import { holeLayer } from "./marks.ts";
import type { Paper } from "./papers.ts";
import { coordinates } from "./strip.ts";
import { boxOfText, wrapped } from "../drawing/words.ts";
import { besideWall, wallsOnSheet } from "./wallNames.ts";
import { toMm } from "../geometry/um.ts";

/** Round the ceiling for wall names and compass, and below it for the words, in text units. */
const AROUND = 9;
const WORDS_HEIGHT = 30;
/** What the compass takes of the words' width, in text units. */
const COMPASS_ROOM = 19;
/** A drawing in real size counts this many text units across the ceiling's longer side. */
const UNITS_ACROSS = 380;
/** Names are put beside real objects at least this bright. */
const NAMED_TO_MAGNITUDE = 2.5;

interface Overview {
  context: SheetContext;
  side: Side;
  /** Sheet mm per plan mm. */
  scale: number;
  /** One text unit in sheet mm: 1 on paper. */
  unit: number;
  /** From plan mm to the side's own mm, lower left corner of the ceiling at 0, 0. */
  read: Affine;
  origin: PointMm;
}

/** The whole ceiling in real millimetres, for plan.svg and plan.dxf; counted from the plan's own zero. */
export function drawPlan(context: SheetContext, figures: readonly Figure[] = []): Drawing {
  const { box } = context.plan.ceiling;
  const [width, height] = [toMm(box.maxX - box.minX), toMm(box.maxY - box.minY)];
  const unit = Math.max(width, height) / UNITS_ACROSS;
  return compose({
    context,
    side: "back",
    figures,
    scale: 1,
    unit,
    sheet: {
      widthMm: Math.max(width, 180 * unit) + 2 * AROUND * unit,
      heightMm: height + (2 * AROUND + WORDS_HEIGHT) * unit,
    },
  });
}

/** For DXF: each hole once, at its strand's size on its own layer; the dots that show brightness stay on paper. */
export const holesOnce = (drawing: Drawing): Drawing => ({
  ...drawing,
  items: drawing.items.filter(({ layer }) => layer !== "STARS" && layer !== "FILLER"),
});

/** The whole ceiling on one sheet, as large as it fits, whichever way round is larger. Not for measuring. */
export function drawOverview(
  context: SheetContext,
  side: Side,
  paper: Paper,
  figures: readonly Figure[] = [],
): Drawing {
  const { box } = context.plan.ceiling;
  const [width, height] = [toMm(box.maxX - box.minX), toMm(box.maxY - box.minY)];
  const long = paper.heightMm ?? paper.widthMm * Math.SQRT2;
  const margin = Math.max(paper.marginMm.sides, paper.marginMm.ends);
  const around = 2 * (margin + AROUND);
  const fit = (w: number, h: number) => Math.min((w - around) / width, (h - around - WORDS_HEIGHT) / height);
  const upright = fit(paper.widthMm, long) >= fit(long, paper.widthMm);
  const [w, h] = upright ? [paper.widthMm, long] : [long, paper.widthMm];
  return compose({
    context,
    side,
    figures,
    scale: fit(w, h),
    unit: 1,
    sheet: { widthMm: w, heightMm: h },
    margin,
  });
}

function compose({
  context,
  side,
  figures,
  scale,
  unit,
  sheet,
  margin = 0,
}: {
  context: SheetContext;
  side: Side;
  figures: readonly Figure[];
  scale: number;
  unit: number;
  sheet: { widthMm: number; heightMm: number };
  margin?: number;
}): Drawing {
  const { ceiling, job } = context.plan;
  const { box } = ceiling;
  const width = toMm(box.maxX - box.minX) * scale;
  const height = toMm(box.maxY - box.minY) * scale;
  const free = sheet.heightMm - 2 * margin - WORDS_HEIGHT * unit;
  const origin: PointMm = [
    (sheet.widthMm - width) / 2,
    margin + WORDS_HEIGHT * unit + Math.max(AROUND * unit, (free - height) / 2),
  ];
  const read = drawnFrom(side, {
    minX: toMm(box.minX),
    minY: toMm(box.minY),
    maxX: toMm(box.maxX),
    maxY: toMm(box.maxY),
  });
  const view: Overview = { context, side, scale, unit, read, origin };
  const room: BoxMm = {
    x0: margin + AROUND * unit * 0.4,
    y0: margin,
    x1: sheet.widthMm - margin - AROUND * unit * 0.4,
    y1: sheet.heightMm - margin,
  };
  const zero = onSheet(view, [0, 0]);
  const [tiles, zones, walls] = [drawTiles(view), drawZones(view), drawWalls(view)];
  const words = [...tiles, ...zones, ...walls].flatMap((item) =>
    item.kind === "text" ? boxOfText(item, context.typeface) : [],
  );
  return {
    title: `${context.clean(job.title)}: ${SIDE_WORDS[side].whole}`,
    ...sheet,
    zeroMm: zero,
    items: [
      ...tiles,
      ...zones,
      ...drawFigures(view, figures),
      ...drawHoles(view, words),
      ...walls,
      ...drawWords(view, room),
    ],
  };
}

function onSheet({ read, scale, origin }: Overview, [x, y]: PointMm): PointMm {
  const point = mapPoint(read, { x, y });
  return [origin[0] + point.x * scale, origin[1] + point.y * scale];
}

const mm = ({ x, y }: PointUm): PointMm => [toMm(x), toMm(y)];

const rings = (view: Overview, area: Area): PointMm[][] =>
  area.map((ring) => ring.map((point) => onSheet(view, mm(point))));

const stroke = ({ unit }: Overview, widthMm: number, grey: number, dash?: number[]): Stroke => ({
  widthMm: widthMm * unit,
  grey,
  ...(dash ? { dashMm: dash.map((length) => length * unit) } : {}),
});

function drawTiles(view: Overview): Item[] {
  const { context, unit } = view;
  const { ceiling } = context.plan;
  const items: Item[] = [];
  for (const tile of ceiling.tiles) {
    const outline = rings(view, tile.outline);
    const thin = stroke(view, WEIGHT.hair, GREY.light);
    if (tile.use !== "stars") {
      const lines = hatch(outline, 4 * unit);
      if (lines.length > 0)
        items.push({ kind: "path", layer: "NO-STARS", rings: lines, closed: false, stroke: thin });
    }
    items.push({
      kind: "path",
      layer: "TILES",
      rings: outline,
      closed: true,
      stroke: stroke(view, WEIGHT.hair, GREY.mid),
    });
    items.push(tileName(view, tile, outline));
  }
  const edge = stroke(view, WEIGHT.thick, GREY.black);
  items.push({
    kind: "path",
    layer: "OUTLINE",
    rings: rings(view, ceiling.outline),
    closed: true,
    stroke: edge,
  });
  return items;
}

/** The tile's name in the upper left of its box, or in another corner where that one is cut away. */
function tileName({ context, unit }: Overview, tile: Tile, outline: PointMm[][]): Item {
  const size = FINE_MM * unit;
  const corners = outline.flat();
  const x0 = corners.reduce((least, [x]) => Math.min(least, x), Infinity);
  const x1 = corners.reduce((most, [x]) => Math.max(most, x), -Infinity);
  const y0 = corners.reduce((least, [, y]) => Math.min(least, y), Infinity);
  const y1 = corners.reduce((most, [, y]) => Math.max(most, y), -Infinity);
  const held = context.holds.has(tile.name);
  const name = held ? `${tile.name} HOLD` : tile.use === "stars" ? tile.name : `${tile.name} ${tile.use}`;
  const fits = context.typeface.widthMm(name, size, held) <= x1 - x0 - unit;
  const words = fits ? name : tile.name;
  const width = context.typeface.widthMm(words, size, held);
  const [left, right] = [x0 + 0.7 * unit, x1 - 0.7 * unit - width];
  const [top, foot] = [y1 - 2.3 * unit, y0 + 0.9 * unit];
  const places: PointMm[] = [
    [left, top],
    [right, top],
    [left, foot],
    [right, foot],
  ];
  const at = places.find(([x, y]) => isInside(outline, [x + width / 2, y + size / 3])) ?? places[0]!;
  return text("TILE-NAMES", at, words, size, held ? { bold: true } : { grey: GREY.mid });
}

function drawZones(view: Overview): Item[] {
  const { context, unit } = view;
  return context.plan.ceiling.noGo.flatMap(({ source, shape, grown }): Item[] => {
    const outer = rings(view, grown);
    const points = outer.flat();
    if (points.length === 0) return [];
    const label = context.clean(source.name) || kindWords(source.kind);
    const x = points.reduce((sum, point) => sum + point[0], 0) / points.length;
    const low = points.reduce((least, point) => Math.min(least, point[1]), Infinity);
    return [
      {
        kind: "path",
        layer: "NO-GO",
        rings: hatch(outer, 1.6 * unit),
        closed: false,
        stroke: stroke(view, WEIGHT.hair, GREY.mid),
      },
      {
        kind: "path",
        layer: "NO-GO",
        rings: outer,
        closed: true,
        stroke: stroke(view, WEIGHT.hair, GREY.black, [1, 0.6]),
      },
      {
        kind: "path",
        layer: "NO-GO",
        rings: rings(view, shape),
        closed: true,
        stroke: stroke(view, WEIGHT.thin, GREY.black),
      },
      text("NO-GO", [x, low - 2.4 * unit], label, FINE_MM * unit, { align: "centre", grey: GREY.dark }),
    ];
  });
}

function drawFigures(view: Overview, figures: readonly Figure[]): Item[] {
  const places = new Map<number, PointMm>();
  for (const hole of view.context.plan.pattern.holes)
    if (hole.star !== null) places.set(hole.star, onSheet(view, [hole.xMm, hole.yMm]));
  const lines = figures.flatMap((figure) =>
    figure.lines.flatMap((chain) =>
      chain.slice(1).flatMap((hip, i): PointMm[][] => {
        const [from, to] = [places.get(chain[i]!), places.get(hip)];
        return from && to ? [[from, to]] : [];
      }),
    ),
  );
  if (lines.length === 0) return [];
  const faint = stroke(view, WEIGHT.hair, GREY.light);
  return [{ kind: "path", layer: "FIGURES", rings: lines, closed: false, stroke: faint }];
}

/** Larger dots for more light, hollow ones for filler; in real size also the hole's own circle. */
function drawHoles(view: Overview, taken: BoxMm[]): Item[] {
  const { context, scale, unit } = view;
  const thinnest = [...context.styles.keys()][0] ?? 1;
  const radius = (hole: Hole) =>
    0.28 * unit * Math.sqrt(Math.sqrt(hole.strands) * (hole.diameterMm / thinnest));
  const items: Item[] = [];
  const named: { centre: PointMm; reachMm: number; words: string }[] = [];
  for (const hole of context.plan.pattern.holes) {
    const centre = onSheet(view, [hole.xMm, hole.yMm]);
    const radiusMm = radius(hole);
    items.push(
      hole.kind === "filler"
        ? { kind: "circle", layer: "FILLER", centre, radiusMm, stroke: stroke(view, 0.1, GREY.dark) }
        : { kind: "circle", layer: "STARS", centre, radiusMm, fillGrey: GREY.black },
    );
    if (scale === 1)
      items.push({
        kind: "circle",
        layer: holeLayer(hole),
        centre,
        radiusMm: holeMm(hole) / 2,
        stroke: { widthMm: 0.05, grey: GREY.mid },
      });
    const bright =
      hole.kind === "moon" || hole.kind === "planet" || (hole.magnitude ?? 99) <= NAMED_TO_MAGNITUDE;
    if (hole.name !== "" && bright)
      named.push({ centre, reachMm: radiusMm, words: context.clean(hole.name) });
  }
  const size = FINE_MM * unit;
  const placed = placeLabels(
    named.map(({ centre, reachMm, words }) => ({
      centre,
      reachMm: reachMm + 0.3 * unit,
      widthMm: context.typeface.widthMm(words, size),
      heightMm: size * 0.73,
    })),
    taken,
    { x0: -Infinity, y0: -Infinity, x1: Infinity, y1: Infinity },
  );
  placed.forEach(({ box }, i) =>
    items.push(text("STAR-NAMES", [box.x0, box.y0], named[i]!.words, size, { grey: GREY.dark })),
  );
  return items;
}

function drawWalls(view: Overview): TextItem[] {
  const { context, unit } = view;
  const size = 2.8 * unit;
  return wallsOnSheet(context.plan, (place) => onSheet(view, place)).map((wall) => {
    const name = context.clean(wall.name);
    const { at, turnDeg } = besideWall(wall, 2 * unit, size, context.typeface.widthMm(name, size));
    return text("WALLS", at, name, size, { align: "centre", turnDeg });
  });
}

function drawWords(view: Overview, room: BoxMm): Item[] {
  const { context, side, scale, unit } = view;
  const { clean, plan, typeface } = context;
  const { job, night, frame, pattern } = plan;
  const words = SIDE_WORDS[side];
  const width = room.x1 - room.x0;
  const columns = [room.x0, room.x0 + width * 0.4, room.x0 + width * 0.72];
  const items: Item[] = [];
  const column = (index: number, most: number, rows: [string, number, boolean][]) => {
    let y = room.y0 + (WORDS_HEIGHT - 5) * unit;
    for (const [row, size, bold] of rows)
      for (const part of wrapped(row, width * most, size * unit, typeface, { bold, mostLines: 2 })) {
        y -= size * 1.4 * unit;
        items.push(text("TEXT", [columns[index]!, y], part, size * unit, { bold }));
      }
  };
  const size = scale === 1 ? "real size, mm" : `about 1:${Math.round(1 / scale)}, not for measuring`;
  column(0, 0.38, [
    [words.whole, 4.6, true],
    [words.check + northWords(plan), FINE_MM, false],
    [clean(job.title), 3, true],
    [clean([job.client, job.room].filter(Boolean).join(", ")), FINE_MM, false],
    [`revision ${job.revision}; ${size}`, FINE_MM, false],
  ]);
  column(1, 0.3, [
    [clean(night.title || night.id), 3, true],
    [clean(`${frame.place.name} ${coordinates(frame.place.latDeg, frame.place.lonDeg)}`), FINE_MM, false],
    [
      clean(
        `${dateAndClock(frame.instant.localIso, frame.instant.zone, passOf(night.moment))}, ${frame.instant.zone}`,
      ),
      FINE_MM,
      false,
    ],
    [clean(`UTC ${frame.instant.utcIso.replace("T", " ").replace("Z", "")}`), FINE_MM, false],
    ["Cautions: on the pages after this.", FINE_MM, false],
    [clean(job.firm), FINE_MM, false],
  ]);
  const counts = [...context.styles.keys()].map((diameter): [string, number, boolean] => {
    const strands = countStrands(pattern.holes.filter((hole) => hole.diameterMm === diameter));
    return [`${diameterWords(diameter)}: ${strands}`, FINE_MM, false];
  });
  const filler = pattern.holes.filter((hole) => hole.kind === "filler").length;
  column(2, Math.min(0.2, 0.28 - (COMPASS_ROOM * unit) / width), [
    [`${pattern.holes.length} holes, ${countStrands(pattern.holes)} strands`, 3, true],
    ...counts.slice(0, 5),
    [filler > 0 ? `${filler} of them filler (hollow dots)` : "", FINE_MM, false],
  ]);
  items.push(
    ...drawCompass(plan, side, [room.x1 - 8 * unit, room.y0 + (WORDS_HEIGHT - 14.5) * unit], 6.5 * unit),
  );
  const rule = room.y0 + (WORDS_HEIGHT - 4) * unit;
  items.push(line("TEXT", [room.x0, rule], [room.x1, rule], stroke(view, WEIGHT.thin, GREY.mid)));
  return items;
}
