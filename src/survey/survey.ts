import { NO_GO_PRESETS } from "../ceiling/presets.ts";
import type { NoGo } from "../job/sections/ceiling.ts";
import { MAX_LENGTH_MM } from "../job/limits.ts";
import { fittingOf, fittingsFrom, plansAmong, type Fitting } from "./fittings.ts";
import { fitGrid, turnedBy, type FittedGrid } from "./gridFit.ts";
import { boxOf, contains, sidesOf, withCornersAtMost } from "./loops.ts";
import { takenByShape } from "./guess.ts";
import { keyOf, takenFor } from "./roles.ts";
import { roomsOf, type DrawnRoom } from "./rooms.ts";
import {
  MM_IN,
  UNITS,
  type Drawing,
  type NotRead,
  type Piece,
  type Point,
  type Role,
  type Taken,
  type Unit,
} from "./types.ts";

/** What a person said about a drawing; everything else is read from it. */
export interface Said {
  unit?: Unit | undefined;
  /** Number of the room, where there are several. */
  room?: number | undefined;
  /** By `keyOf(layer or block, name)`. */
  roles?: ReadonlyMap<string, Role>;
}

/** The ceiling of a room as the drawing has it: mm on the plan, lower left corner of its box at 0, tees along the axes. */
export interface DrawnCeiling {
  outlineMm: Point[];
  /** Null where no grid was found. */
  grid: { moduleMm: Point; originMm: Point; teeFaceMm: number | null } | null;
  noGo: (Pick<NoGo, "kind" | "name" | "clearanceMm"> &
    Pick<Partial<NoGo>, "circle" | "rectangle" | "polygonMm">)[];
  /** True bearing of the plan's top by the north arrow of the drawing; null without one. */
  bearingDeg: number | null;
}

/** A drawing as far as it could be read, and what still has to be asked. */
export interface Survey {
  /** What only a person can say before there is a ceiling; null when nothing. */
  ask: "outline" | "unit" | "room" | null;
  unit: Unit | null;
  /** The unit that the file states. */
  stated: Unit | null;
  rooms: DrawnRoom[];
  room: DrawnRoom | null;
  /** Width and depth of the room, in mm, if the drawing were in each unit; and whether that can be a room with tiles. */
  sizes: { unit: Unit; sizeMm: Point; likely: boolean }[];
  taken: Taken[];
  ceiling: DrawnCeiling | null;
  fit: FittedGrid | null;
  /** What was not understood or not used, to be looked at. */
  left: NotRead[];
}

/** Rooms are taken for rooms between these sides; a ceiling larger than the second can't be planned. */
const SMALLEST_ROOM_MM = 1000;
/** Modules of tiles lie between these, common practice, no source: 300 mm planks to 1,500 mm panels. */
const MODULE_MM = { least: 290, most: 1850 };
const MOST_CORNERS = 200;
/** Smaller closed lines in a room are marks, not columns. */
const SMALLEST_COLUMN_MM = 50;

/** Works a room out of a drawing, with what a person said of it. Pure; never throws for what a drawing may hold. */
export function surveyDrawing(drawing: Drawing, said: Said = {}): Survey {
  const taken = takenByShape(drawing, takenFor(drawing, said.roles), said.unit ?? drawing.stated);
  const roles = new Map(taken.map((row) => [keyOf(row.what, row.name), row]));
  const layerRow = (name: string): Taken | undefined => roles.get(keyOf("layer", name));
  const roleOfLayer = (name: string): Role => layerRow(name)?.role ?? "unknown";
  const roleOfBlock = (name: string): Role => roles.get(keyOf("block", name))?.role ?? "unknown";
  const hidden = (name: string): boolean =>
    layerRow(name)?.hidden === true && layerRow(name)?.why !== "as said";

  const seen = drawing.pieces.filter(({ layer }) => !hidden(layer));
  const fitted: { piece: Piece; kind: Fitting["kind"]; insert: number | null; from: string }[] = [];
  const outlines: Piece[] = [];
  const teePieces: Piece[] = [];
  const unknown = new Map<string, number>();
  const plans = plansAmong(seen, roleOfLayer, roleOfBlock);
  for (const piece of seen) {
    const fitting = fittingOf(piece, roleOfLayer, roleOfBlock, plans);
    const role = roleOfLayer(piece.layer);
    if (fitting) fitted.push({ piece, ...fitting });
    else if (role === "outline") outlines.push(piece);
    else if (role === "grid" && !piece.filled) teePieces.push(piece);
    else if (role === "unknown") unknown.set(piece.layer, (unknown.get(piece.layer) ?? 0) + 1);
  }
  const tees = teePieces.flatMap(sidesOf);
  // without an outline round them the box round the tees is the room, and is said to be
  let found = roomsOf(outlines, tees, drawing.texts);
  const teesAlone = tees.length > 1 && found.tees === 0;
  if (teesAlone) found = roomsOf([boxPiece(teePieces)], tees, drawing.texts);
  const { rooms } = found;
  const room =
    rooms.find(({ number }) => number === said.room) ??
    (rooms.length === 1 && said.room === undefined ? rooms[0]! : null);

  const shown = room ?? rooms[0] ?? null;
  const inRoom = shown ? clippedTo(tees, shown.outline) : [];
  const sizes = UNITS.map((unit) => {
    const sizeMm: Point = shown ? [shown.size[0] * MM_IN[unit], shown.size[1] * MM_IN[unit]] : [0, 0];
    return { unit, sizeMm, likely: likely(sizeMm, fitGrid(scaled(inRoom, MM_IN[unit]))) };
  });
  const asStated = sizes.find(({ unit }) => unit === drawing.stated);
  const unit = said.unit ?? (asStated?.likely ? asStated.unit : null);
  const left = [
    ...drawing.notRead,
    ...[...unknown].map(([layer, count]) => ({ what: `lines on layer ${layer}, not used`, count })),
    ...hiddenOf(drawing, hidden),
  ];
  if (outlines.length === 0 && tees.length > 0)
    left.push({ what: "outline: none is drawn, so the box round the tees was taken", count: 1 });
  else if (teesAlone)
    left.push({ what: "outline: no line closes round the tees, so the box round them was taken", count: 1 });
  if (found.closed > 0)
    left.push({ what: "openings in the walls, closed with a straight line", count: found.closed });
  const base = { unit, stated: drawing.stated, rooms, room, sizes, taken, left };
  if (rooms.length === 0) return { ...base, ask: "outline", ceiling: null, fit: null };
  if (!room) return { ...base, ask: "room", ceiling: null, fit: null };
  if (!unit) return { ...base, ask: "unit", ceiling: null, fit: null };

  const mm = MM_IN[unit];
  const fit = fitGrid(scaled(inRoom, mm));
  const turn = fit?.turnDeg ?? room.turnDeg;
  const turnedOutline = room.outline.map((p) => turnedBy([p[0] * mm, p[1] * mm], -turn));
  const corner = boxOf(turnedOutline).min;
  const toPlan = (p: Point): Point => {
    const [x, y] = turnedBy([p[0] * mm, p[1] * mm], -turn);
    return [x - corner[0], y - corner[1]];
  };
  const outlineMm = fromLowerLeft(withCornersAtMost(room.outline.map(toPlan), MOST_CORNERS).map(rounded));
  const onPlan = fitted.map((found) => ({ ...found, piece: pieceOnPlan(found.piece, toPlan, mm) }));
  const fittings = fittingsFrom(onPlan);
  const here = fittings.filter((fitting) => contains(outlineMm, middleOf(fitting)));
  const elsewhere = fittings.length - here.length;
  if (elsewhere > 0) left.push({ what: "no-go zones outside this room", count: elsewhere });
  if (fit && fit.astray > 0)
    left.push({ what: "lines of the grid's layers that lie on no tee", count: fit.astray });
  const north = drawing.inserts.find(
    ({ block, layer }) => roleOfBlock(block) === "north" || roleOfLayer(layer) === "north",
  );
  return {
    ...base,
    ask: null,
    fit,
    ceiling: {
      outlineMm,
      grid: fit && gridOnPlan(fit, corner),
      noGo: [...here.map(noGoOf), ...columnsOf(room, toPlan)],
      bearingDeg: north ? round((((north.turnDeg - turn) % 360) + 360) % 360) : null,
    },
  };
}

/** The same outline, begun at the corner next to the lower left of its box: walls are numbered from there. */
function fromLowerLeft(points: Point[]): Point[] {
  const first = points.reduce((at, [x, y], i) => (x + y < points[at]![0] + points[at]![1] ? i : at), 0);
  return [...points.slice(first), ...points.slice(0, first)];
}

function boxPiece(pieces: readonly Piece[]): Piece {
  const { min, max } = boxOf(pieces.flatMap(({ points }) => points));
  const points: Point[] = [min, [max[0], min[1]], max, [min[0], max[1]]];
  return { layer: "", blocks: [], inserts: [], points, closed: true };
}

function likely(sizeMm: Point, fit: FittedGrid | null): boolean {
  const modules = (fit?.moduleMm ?? []).flatMap((m) => m ?? []);
  return (
    Math.max(...sizeMm) <= MAX_LENGTH_MM &&
    Math.min(...sizeMm) >= SMALLEST_ROOM_MM &&
    modules.every((m) => m >= MODULE_MM.least && m <= MODULE_MM.most)
  );
}

const scaled = (sides: readonly [Point, Point][], by: number): [Point, Point][] =>
  sides.map(([p, q]) => [
    [p[0] * by, p[1] * by],
    [q[0] * by, q[1] * by],
  ]);

/** The parts of lines that lie in the box of a room and whose middle is in the room. */
function clippedTo(sides: readonly [Point, Point][], outline: Point[]): [Point, Point][] {
  const { min, max } = boxOf(outline);
  return sides.flatMap(([p, q]): [Point, Point][] => {
    let [from, to] = [0, 1];
    for (const axis of [0, 1] as const) {
      const d = q[axis] - p[axis];
      if (d === 0) {
        if (p[axis] < min[axis] || p[axis] > max[axis]) return [];
        continue;
      }
      const [a, b] = [(min[axis] - p[axis]) / d, (max[axis] - p[axis]) / d].sort((s, t) => s - t) as [
        number,
        number,
      ];
      from = Math.max(from, a);
      to = Math.min(to, b);
    }
    if (from >= to) return [];
    const at = (t: number): Point => [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])];
    return contains(outline, at((from + to) / 2)) ? [[at(from), at(to)]] : [];
  });
}

function pieceOnPlan(piece: Piece, toPlan: (p: Point) => Point, mm: number): Piece {
  const { round } = piece;
  return {
    ...piece,
    points: piece.points.map(toPlan),
    ...(round ? { round: { centre: toPlan(round.centre), radius: round.radius * mm } } : {}),
  };
}

/** Module and origin in the plan's axes; a direction without a module of its own has that of the other. */
function gridOnPlan(fit: FittedGrid, corner: Point): DrawnCeiling["grid"] {
  const [x, y] = fit.moduleMm;
  const one = x ?? y;
  if (one === null) return null;
  return {
    moduleMm: [round(x ?? one), round(y ?? one)],
    originMm: [round(fit.originMm[0] - corner[0]), round(fit.originMm[1] - corner[1])],
    teeFaceMm: fit.teeFaceMm === null ? null : round(fit.teeFaceMm),
  };
}

function middleOf({ circle, rectangle }: Fitting): Point {
  if (circle) return circle.centre;
  return [rectangle!.corner[0] + rectangle!.size[0] / 2, rectangle!.corner[1] + rectangle!.size[1] / 2];
}

function noGoOf({ kind, from, circle, rectangle }: Fitting): DrawnCeiling["noGo"][number] {
  const clearanceMm = NO_GO_PRESETS.find((preset) => preset.kind === kind)?.clearanceMm ?? 0;
  const name = from.slice(0, 200);
  if (circle)
    return {
      kind,
      name,
      clearanceMm,
      circle: { centreMm: rounded(circle.centre), radiusMm: Math.max(1, round(circle.radius)) },
    };
  const { corner, size, turnDeg } = rectangle!;
  const sizeMm: Point = [Math.max(1, round(size[0])), Math.max(1, round(size[1]))];
  return {
    kind,
    name,
    clearanceMm,
    rectangle: { cornerMm: rounded(corner), sizeMm, turnDeg: round(turnDeg) },
  };
}

/** Closed lines of the walls inside the room. */
function columnsOf(room: DrawnRoom, toPlan: (p: Point) => Point): DrawnCeiling["noGo"] {
  const preset = NO_GO_PRESETS.find(({ kind }) => kind === "other");
  return room.inside
    .map(({ points }) => withCornersAtMost(points.map(toPlan), MOST_CORNERS).map(rounded))
    .filter((points) => {
      const { min, max } = boxOf(points);
      return Math.min(max[0] - min[0], max[1] - min[1]) >= SMALLEST_COLUMN_MM;
    })
    .map((polygonMm) => ({
      kind: "other",
      name: "column or opening",
      clearanceMm: preset?.clearanceMm ?? 0,
      polygonMm,
    }));
}

function hiddenOf(drawing: Drawing, hidden: (name: string) => boolean): NotRead[] {
  const counts = new Map<string, number>();
  for (const { layer } of drawing.pieces) if (hidden(layer)) counts.set(layer, (counts.get(layer) ?? 0) + 1);
  return [...counts].map(([layer, count]) => ({
    what: `lines on layer ${layer}, which is frozen or off`,
    count,
  }));
}

/** Tenths of a millimetre: finer than any ceiling is built. */
const round = (mm: number): number => Math.round(mm * 10) / 10 + 0;
const rounded = ([x, y]: Point): Point => [round(x), round(y)];
