import type { BoxUm, PointMm } from "../../geometry/types.ts";
import { drawnFigures } from "../../sky/drawn.ts";
import { icrsOf, skyFrame } from "../../sky/frame.ts";
import { horizontalDirection, type Vector } from "../../sky/linear.ts";
import { milkyWayLevel } from "../../sky/milkyWay.ts";
import { bodyDirection, projectSky, skyBuffers } from "../../sky/project.ts";
import { makeProjection, toDirection, toPlan } from "../../sky/projection.ts";
import { starLabel } from "../../sky/starNames.ts";
import type { Catalog, ProjectedSky, Projection, SkyFrame, StarTable } from "../../sky/types.ts";
import type { SkyLabel, SkyPicture, SkyRequest } from "./nightApi.ts";

/** Nodes of the Milky Way's picture along the longer side of the box. */
const GLOW_NODES = 36;
/** The horizon is drawn in steps of this many degrees, as far out as this many picture radii. */
const HORIZON_STEP_DEG = 2;
const HORIZON_RADII = 6;
const CARDINALS = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];
/** Entries that the arrays hold beyond the stars, for bodies. */
const SPARE_ENTRIES = skyBuffers(0).hip.length;
/** Stars are named down to this magnitude, in thousandths. */
const NAMED_TO_MILLI = 2100;

/**
 * One sky for the stage: stars, bodies, lines, names and the Milky Way on the plan. Fills the arrays it is
 * given, so that scrubbing allocates next to nothing. Throws JobFaults as `skyFrame` does.
 */
export function skyPicture(catalog: Catalog, request: SkyRequest): SkyPicture {
  const { night, room, box } = request;
  const frame = skyFrame(night, "sky");
  const projection = makeProjection(night.view, night.field, request.bearingDeg, room);
  const size = SPARE_ENTRIES + catalog.stars.count;
  const sky =
    request.spare && request.spare.hip.length >= size ? request.spare : skyBuffers(catalog.stars.count);
  const projected = projectSky(catalog, frame, projection, box, sky);
  const drawn = request.figures ? drawnFigures(figureStarsOf(catalog), frame, projection) : [];
  const onPlan = (direction: Vector): PointMm | null => planPoint(projection, direction);
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
    count: projected.count,
    sky,
    ...flattened(drawn.flatMap((f) => f.lines)),
    horizon: horizonOn(projection),
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
      ? glowOver(catalog, frame, projection, box)
      : { columns: 0, rows: 0, level: new Uint8Array(), box },
  };
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
  return xMm * 1000 >= box.minX && xMm * 1000 <= box.maxX && yMm * 1000 >= box.minY && yMm * 1000 <= box.maxY;
}

/** Where a seen direction falls on the plan, mm; null far outside any ceiling. */
function planPoint(projection: Projection, direction: Vector): PointMm | null {
  const at = toPlan(projection, ...direction);
  if (at === null) return null;
  const [x, y]: PointMm = [at.xUm / 1000, at.yUm / 1000];
  const [dx, dy] = [x - projection.anchorMm[0], y - projection.anchorMm[1]];
  const far = HORIZON_RADII * projection.radiusMm;
  return dx * dx + dy * dy <= far * far ? [x, y] : null;
}

/** The horizon as polylines, broken where it runs far outside. */
function horizonOn(projection: Projection): PointMm[][] {
  const runs: PointMm[][] = [[]];
  for (let az = 0; az <= 360; az += HORIZON_STEP_DEG) {
    const at = planPoint(projection, horizontalDirection(az, 0));
    if (at === null) runs.push([]);
    else runs[runs.length - 1]!.push(at);
  }
  return runs.filter((run) => run.length > 1);
}

function starLabels(catalog: Catalog, sky: ProjectedSky): SkyLabel[] {
  const labels: SkyLabel[] = [];
  for (let i = 0; i < sky.count && sky.magnitudeMilli[i]! <= NAMED_TO_MILLI; i++) {
    const hip = sky.hip[i]!;
    if (hip === 0) continue;
    labels.push(label("star", starLabel(catalog, hip), [sky.xUm[i]! / 1000, sky.yUm[i]! / 1000]));
  }
  return labels;
}

function flattened(curves: PointMm[][]): { lines: Float32Array; ends: Uint32Array } {
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

function glowOver(catalog: Catalog, frame: SkyFrame, projection: Projection, box: BoxUm): SkyPicture["glow"] {
  const width = box.maxX - box.minX;
  const height = box.maxY - box.minY;
  const step = Math.max(width, height) / GLOW_NODES;
  const columns = Math.max(2, Math.round(width / step));
  const rows = Math.max(2, Math.round(height / step));
  const level = new Uint8Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    const y = box.maxY - ((row + 0.5) / rows) * height;
    for (let column = 0; column < columns; column++) {
      const direction = toDirection(projection, box.minX + ((column + 0.5) / columns) * width, y);
      if (direction[2] <= 0) continue;
      level[row * columns + column] = milkyWayLevel(catalog.milkyWay, ...icrsOf(frame, direction));
    }
  }
  return { columns, rows, level, box };
}
