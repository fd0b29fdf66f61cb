import type { BoxUm, PointMm } from "../../../../geometry/types.ts";
import { type DrawnFigure, drawnFigures } from "../../../../sky/drawn.ts";
import { icrsOf, skyFrame } from "../../../../sky/frame.ts";
import { apply, applyInverse, horizontalDirection, type Vector } from "../../../../sky/linear.ts";
import { milkyWayLevel } from "../../../../sky/milkyWay.ts";
import { bodyDirection, projectSky, type SkyBuffers, skyBuffers } from "../../../../sky/project.ts";
import {
  makeProjection,
  planAxes,
  scaleUm,
  stereographic,
  stereographicInverse,
} from "../../../../sky/projection.ts";
import { starLabel } from "../../../../sky/starNames.ts";
import type { Catalog, ProjectedSky, Projection, SkyFrame, StarTable } from "../../../../sky/types.ts";
import type { SkyLabel, SkyPicture, SkyRequest } from "./api.ts";
import { UM_PER_MM, toMm } from "../../../../geometry/um.ts";

/** Nodes of the Milky Way's picture along the longer side of the box. */
const GLOW_NODES = 36;
/** The horizon is drawn in steps of this many degrees, as far out as this many picture radii. */
const HORIZON_STEP_DEG = 2;
const HORIZON_RADII = 6;
const CARDINALS = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];
/** Chords of the lines while they move: on the screen they stray a tenth of a pixel from the finer ones. */
const MOVING_CHORD_DEG = 3;
/** Arrays are made a little too long, so that one fits the next sky too. */
const ROOM_TO_GROW = 1.25;
/** Stars are named down to this magnitude, in thousandths. */
const NAMED_TO_MILLI = 2100;

/**
 * One sky for the stage: stars, bodies, lines, names and the Milky Way on the plan. Fills the array it is
 * given, so that scrubbing allocates next to nothing. Throws JobFaults as `skyFrame` does.
 */
export function skyPicture(catalog: Catalog, request: SkyRequest): SkyPicture {
  const { night, room, box } = request;
  const frame = skyFrame(night, "sky");
  const projection = makeProjection(night.view, night.field, request.bearingDeg, room);
  const axes = planAxes(projection);
  const projected = projectSky(catalog, frame, projection, box, buffersFor(catalog.stars));
  const chordDeg = request.moving ? MOVING_CHORD_DEG : undefined;
  const drawn = request.figures ? drawnFigures(figureStarsOf(catalog), frame, projection, chordDeg) : [];
  const onPlan = (direction: Vector): PointMm | null => planPoint(projection, axes, direction);
  const inRoom = ([x, y]: PointMm): boolean => within(room, x, y);
  const figures = drawn.filter((f) => f.labelMm !== null && inRoom(f.labelMm));
  return {
    instant: frame.instant,
    projection,
    sun: frame.sun,
    bodies: frame.bodies,
    bodiesMm: frame.bodies.flatMap((body) => {
      const seen = bodyDirection(frame, body);
      const atMm = onPlan(seen);
      return seen[2] > 0 && atMm ? [{ body, atMm }] : [];
    }),
    ...packed(projected, request.spare),
    ...flattened(drawn, room),
    horizon: horizonOver(room, onPlan),
    labels: [
      ...drawn.flatMap((f) => (f.labelMm ? [label("figure", f.name, f.labelMm)] : [])),
      ...starLabels(catalog, projected),
      ...CARDINALS.flatMap((name, i) => {
        const atMm = onPlan(horizontalDirection(i * 45, 0));
        return atMm ? [label("cardinal", name, atMm)] : [];
      }),
    ].filter((l) => within(box, ...l.atMm)),
    figuresInRoom: figures.map((f) => f.name),
    glow: request.milkyWay
      ? glowOver(catalog, frame, projection, axes, box)
      : { columns: 0, rows: 0, level: new Uint8Array(), box },
  };
}

const buffersOf = new WeakMap<StarTable, SkyBuffers>();

/** Memory for the stars of a table, always the same: what is to be kept of a sky is copied from it. */
function buffersFor(stars: StarTable): SkyBuffers {
  let buffers = buffersOf.get(stars);
  if (!buffers) {
    buffers = skyBuffers(stars.count);
    buffersOf.set(stars, buffers);
  }
  return buffers;
}

/** The stars of a sky in one array, without its bodies. */
function packed(sky: ProjectedSky, spare: SkyRequest["spare"]): Pick<SkyPicture, "stars" | "count"> {
  const { hip, xUm, yUm, magnitudeMilli } = sky;
  const stars =
    spare && spare.length >= 3 * sky.count ? spare : new Int32Array(Math.ceil(3 * sky.count * ROOM_TO_GROW));
  let at = 0;
  for (let i = 0; i < sky.count; i++) {
    if (hip[i] === 0) continue;
    stars[at++] = xUm[i]!;
    stars[at++] = yUm[i]!;
    stars[at++] = magnitudeMilli[i]!;
  }
  return { stars, count: at / 3 };
}

const figureCatalogs = new WeakMap<StarTable, Pick<Catalog, "stars" | "figures">>();

/** The few hundred stars of the figures alone: looking each up among all would cost more than all the rest. */
function figureStarsOf(catalog: Catalog): Pick<Catalog, "stars" | "figures"> {
  let known = figureCatalogs.get(catalog.stars);
  if (!known) {
    known = { stars: rowsOf(catalog.stars, (hip) => catalog.figureStars.has(hip)), figures: catalog.figures };
    figureCatalogs.set(catalog.stars, known);
  }
  return known;
}

/** The star table with some of its rows. */
function rowsOf(stars: StarTable, wanted: (hip: number) => boolean): StarTable {
  const rows = [...stars.hip.keys()].filter((row) => wanted(stars.hip[row]!));
  const moving = new Map([...stars.movingRows].map((row, i) => [row, i]));
  const movingRows = rows.flatMap((row, i) => (moving.has(row) ? [i] : []));
  return {
    count: rows.length,
    hip: Uint32Array.from(rows, (row) => stars.hip[row]!),
    magnitudeCenti: Int16Array.from(rows, (row) => stars.magnitudeCenti[row]!),
    colourMilli: Int16Array.from(rows, (row) => stars.colourMilli[row]!),
    x: Float64Array.from(rows, (row) => stars.x[row]!),
    y: Float64Array.from(rows, (row) => stars.y[row]!),
    z: Float64Array.from(rows, (row) => stars.z[row]!),
    movingRows: Uint32Array.from(movingRows),
    motion: Float64Array.from(
      movingRows.flatMap((i) => {
        const from = 3 * moving.get(rows[i]!)!;
        return [...stars.motion.subarray(from, from + 3)];
      }),
    ),
  };
}

const label = (kind: SkyLabel["kind"], text: string, atMm: PointMm): SkyLabel => ({ kind, text, atMm });

function within(box: BoxUm, xMm: number, yMm: number): boolean {
  return (
    xMm * UM_PER_MM >= box.minX &&
    xMm * UM_PER_MM <= box.maxX &&
    yMm * UM_PER_MM >= box.minY &&
    yMm * UM_PER_MM <= box.maxY
  );
}

/** Where a seen direction falls on the plan, mm; null far outside any ceiling. */
function planPoint(projection: Projection, axes: Float64Array, direction: Vector): PointMm | null {
  const flat = stereographic(...apply(axes, direction));
  if (flat === null) return null;
  const scaleMm = toMm(scaleUm(projection));
  const [dx, dy] = [flat[0] * scaleMm, flat[1] * scaleMm];
  const far = HORIZON_RADII * projection.radiusMm;
  const [x, y] = projection.anchorMm;
  return dx * dx + dy * dy <= far * far ? [x + dx, y + dy] : null;
}

/** The horizon as polylines, without what does not touch the room: to dash it all would cost as much as the figures. */
function horizonOver(room: BoxUm, onPlan: (direction: Vector) => PointMm | null): PointMm[][] {
  const runs: PointMm[][] = [];
  let before: PointMm | null = null;
  let run: PointMm[] | null = null;
  for (let az = 0; az <= 360; az += HORIZON_STEP_DEG) {
    const at = onPlan(horizontalDirection(az, 0));
    if (at && before && touches([before, at], room)) {
      if (run) run.push(at);
      else runs.push((run = [before, at]));
    } else run = null;
    before = at;
  }
  return runs;
}

function starLabels(catalog: Catalog, sky: ProjectedSky): SkyLabel[] {
  const labels: SkyLabel[] = [];
  for (let i = 0; i < sky.count && sky.magnitudeMilli[i]! <= NAMED_TO_MILLI; i++) {
    const hip = sky.hip[i]!;
    if (hip === 0) continue;
    labels.push(label("star", starLabel(catalog, hip), [toMm(sky.xUm[i]!), toMm(sky.yUm[i]!)]));
  }
  return labels;
}

/** The lines of the figures that touch the room, end to end. */
function flattened(drawn: DrawnFigure[], room: BoxUm): Pick<SkyPicture, "lines" | "ends"> {
  const curves = drawn.flatMap((figure) => figure.lines.filter((curve) => touches(curve, room)));
  const lines = new Float32Array(curves.reduce((sum, c) => sum + 2 * c.length, 0));
  const ends = new Uint32Array(curves.length);
  let at = 0;
  curves.forEach((curve, i) => {
    for (const [x, y] of curve) {
      lines[at++] = x;
      lines[at++] = y;
    }
    ends[i] = at;
  });
  return { lines, ends };
}

/** Whether a line's bounding box and a box have a point in common. */
function touches(curve: PointMm[], box: BoxUm): boolean {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of curve) {
    minX = Math.min(minX, x);
    minY = Math.min(minY, y);
    maxX = Math.max(maxX, x);
    maxY = Math.max(maxY, y);
  }
  return (
    minX * UM_PER_MM <= box.maxX &&
    maxX * UM_PER_MM >= box.minX &&
    minY * UM_PER_MM <= box.maxY &&
    maxY * UM_PER_MM >= box.minY
  );
}

function glowOver(
  catalog: Catalog,
  frame: SkyFrame,
  projection: Projection,
  axes: Float64Array,
  box: BoxUm,
): SkyPicture["glow"] {
  const scale = scaleUm(projection);
  const [anchorX, anchorY] = projection.anchorMm;
  const width = box.maxX - box.minX;
  const height = box.maxY - box.minY;
  const step = Math.max(width, height) / GLOW_NODES;
  const columns = Math.max(2, Math.round(width / step));
  const rows = Math.max(2, Math.round(height / step));
  const level = new Uint8Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    const v = (box.maxY - ((row + 0.5) / rows) * height - anchorY * UM_PER_MM) / scale;
    for (let column = 0; column < columns; column++) {
      const u = (box.minX + ((column + 0.5) / columns) * width - anchorX * UM_PER_MM) / scale;
      const direction = applyInverse(axes, stereographicInverse(u, v));
      if (direction[2] <= 0) continue;
      level[row * columns + column] = milkyWayLevel(catalog.milkyWay, ...icrsOf(frame, direction));
    }
  }
  return { columns, rows, level, box };
}
