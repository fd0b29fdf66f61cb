import type { Ceiling, Tile } from "../ceiling/types.ts";
import { forEachEdge } from "../geometry/area.ts";
import type { Area } from "../geometry/types.ts";
import type { Camera } from "./camera.ts";
import { hash32 } from "./exact.ts";
import type { Finish, Linear, SurfacePoint } from "./finish.ts";
import { toMm } from "../geometry/um.ts";

/** Edges laid flat in mm: ax, ay, bx, by, ... */
type Edges = Float64Array;

interface Fitting {
  what: Ceiling["noGo"][number]["source"]["kind"];
  chance: number;
  edges: Edges;
}

/** One module cell of the grid, for quick answers. */
interface Cell {
  tile: Tile | null;
  /** The room's edge passes through or near it. */
  border: boolean;
  fittings: Fitting[];
}

/** The room made ready to answer what a ray meets. */
export interface SceneRoom {
  ceiling: Ceiling;
  heightMm: number;
  cells: Cell[];
  columns: number;
  rows: number;
  fromX: number;
  fromY: number;
  /** Every wall is seen from everywhere. */
  convex: boolean;
  edges: Edges;
}

const mm = (um: number): number => toMm(um);

function edgesOf(area: Area): Edges {
  const flat: number[] = [];
  forEachEdge(area, (a, b) => flat.push(mm(a.x), mm(a.y), mm(b.x), mm(b.y)));
  return Float64Array.from(flat);
}

/** Even-odd test. */
function within(edges: Edges, x: number, y: number): boolean {
  let inside = false;
  for (let i = 0; i < edges.length; i += 4) {
    const ay = edges[i + 1]!;
    const by = edges[i + 3]!;
    if (ay > y === by > y) continue;
    const ax = edges[i]!;
    if (x < ax + ((edges[i + 2]! - ax) * (y - ay)) / (by - ay)) inside = !inside;
  }
  return inside;
}

/** Distance to the nearest edge. */
function toEdge(edges: Edges, x: number, y: number): number {
  let least = Infinity;
  for (let i = 0; i < edges.length; i += 4) {
    const ax = edges[i]!;
    const ay = edges[i + 1]!;
    const dx = edges[i + 2]! - ax;
    const dy = edges[i + 3]! - ay;
    const along = ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1);
    const t = along < 0 ? 0 : along > 1 ? 1 : along;
    const px = ax + t * dx - x;
    const py = ay + t * dy - y;
    const distance = px * px + py * py;
    if (distance < least) least = distance;
  }
  return Math.sqrt(least);
}

/** Sorts tiles and fittings into module cells. Lengths in mm. */
export function makeRoom(ceiling: Ceiling, heightMm: number): SceneRoom {
  const [mx, my] = ceiling.grid.moduleMm;
  const [ox, oy] = ceiling.grid.originMm;
  const fromX = ox + Math.floor((mm(ceiling.box.minX) - ox) / mx) * mx;
  const fromY = oy + Math.floor((mm(ceiling.box.minY) - oy) / my) * my;
  const columns = Math.ceil((mm(ceiling.box.maxX) - fromX) / mx) + 1;
  const rows = Math.ceil((mm(ceiling.box.maxY) - fromY) / my) + 1;
  const cells: Cell[] = Array.from({ length: columns * rows }, () => ({
    tile: null,
    border: false,
    fittings: [],
  }));
  const cellAt = (x: number, y: number): Cell | undefined =>
    cells[Math.floor((mm(y) - fromY) / my) * columns + Math.floor((mm(x) - fromX) / mx)];
  for (const tile of ceiling.tiles) {
    const cell = cellAt((tile.box.minX + tile.box.maxX) / 2, (tile.box.minY + tile.box.maxY) / 2);
    if (cell && !cell.tile) cell.tile = tile;
  }
  const edges = edgesOf(ceiling.outline);
  const reachX = mx / 2 + 30;
  const reachY = my / 2 + 30;
  cells.forEach((cell, i) => {
    const x = fromX + ((i % columns) + 0.5) * mx;
    const y = fromY + (Math.floor(i / columns) + 0.5) * my;
    cell.border = toEdge(edges, x, y) < Math.sqrt(reachX * reachX + reachY * reachY);
  });
  for (const zone of ceiling.noGo) {
    const fitting = { what: zone.source.kind, chance: hash32(zone.index, 5), edges: edgesOf(zone.shape) };
    const xs = zone.shape.flat().map((p) => mm(p.x));
    const ys = zone.shape.flat().map((p) => mm(p.y));
    const first = (v: number, from: number, step: number) => Math.max(0, Math.floor((v - from) / step));
    for (let row = first(Math.min(...ys), fromY, my); row <= first(Math.max(...ys), fromY, my); row++) {
      for (let c = first(Math.min(...xs), fromX, mx); c <= first(Math.max(...xs), fromX, mx); c++) {
        if (row < rows && c < columns) cells[row * columns + c]!.fittings.push(fitting);
      }
    }
  }
  const convex = ceiling.outline.length === 1 && isConvex(edges);
  return { ceiling, heightMm, cells, columns, rows, fromX, fromY, convex, edges };
}

function isConvex(edges: Edges): boolean {
  let left = 0;
  let right = 0;
  for (let i = 0; i < edges.length; i += 4) {
    const j = (i + 4) % edges.length;
    const turn =
      (edges[i + 2]! - edges[i]!) * (edges[j + 3]! - edges[j + 1]!) -
      (edges[i + 3]! - edges[i + 1]!) * (edges[j + 2]! - edges[j]!);
    if (turn > 0) left++;
    if (turn < 0) right++;
  }
  return left === 0 || right === 0;
}

/** Whether a point on the plan (mm) is inside the room. */
export function isInside(room: SceneRoom, xMm: number, yMm: number): boolean {
  return within(room.edges, xMm, yMm);
}

/** Share of the way from a to b where the first wall stands, or Infinity. */
function firstWall(room: SceneRoom, ax: number, ay: number, dx: number, dy: number): number {
  const { edges } = room;
  let first = Infinity;
  for (let i = 0; i < edges.length; i += 4) {
    const fromX = edges[i]! - ax;
    const fromY = edges[i + 1]! - ay;
    const ex = edges[i + 2]! - edges[i]!;
    const ey = edges[i + 3]! - edges[i + 1]!;
    const across = dx * ey - dy * ex;
    if (across === 0) continue;
    const s = (fromX * ey - fromY * ex) / across;
    if (!(s > 1e-9 && s < first)) continue;
    const t = (fromX * dy - fromY * dx) / across;
    if (t >= 0 && t <= 1) first = s;
  }
  return first;
}

/** Whether a corner of the room stands between the eye and a point of the ceiling. */
export function isHidden(room: SceneRoom, camera: Camera, xMm: number, yMm: number): boolean {
  if (room.convex) return false;
  const [ex, ey] = camera.eye;
  return firstWall(room, ex, ey, xMm - ex, yMm - ey) < 1 - 1e-6;
}

/** What is at a point of the ceiling (mm), into `spot`; false outside the room. */
function lookUp(room: SceneRoom, x: number, y: number, marksFuture: boolean, spot: SurfacePoint): boolean {
  const { grid } = room.ceiling;
  const mx = grid.moduleMm[0];
  const my = grid.moduleMm[1];
  const column = Math.floor((x - room.fromX) / mx);
  const row = Math.floor((y - room.fromY) / my);
  if (!(column >= 0 && row >= 0 && column < room.columns && row < room.rows)) return false;
  const cell = room.cells[row * room.columns + column]!;
  let toWall = Infinity;
  if (cell.border) {
    if (!within(room.edges, x, y)) return false;
    toWall = toEdge(room.edges, x, y);
  }
  spot.x = x;
  spot.y = y;
  for (const fitting of cell.fittings) {
    if (!marksFuture && fitting.what === "future-fitting") continue;
    if (!within(fitting.edges, x, y)) continue;
    spot.what = fitting.what;
    spot.edgeMm = toEdge(fitting.edges, x, y);
    spot.chance = fitting.chance;
    return true;
  }
  const u = x - room.fromX - column * mx;
  const v = y - room.fromY - row * my;
  const toTee = Math.min(u, mx - u, v, my - v) - grid.teeFaceMm / 2;
  spot.chance = hash32(row, column);
  if (toWall < grid.wallAngleMm) {
    spot.what = "wall-angle";
    spot.edgeMm = toWall;
  } else if (toTee < 0) {
    spot.what = "tee";
    spot.edgeMm = -toTee;
  } else {
    spot.what = (cell.tile?.use ?? "plain") === "plain" ? "plain" : "fabric";
    spot.edgeMm = Math.min(toTee, toWall - grid.wallAngleMm);
  }
  return true;
}

/** Grain from pixel to pixel, round 1, so that near-black doesn't band. */
export function grainAt(px: number, py: number, grain = 0.3): number {
  return 1 + grain * (hash32(px, py) / 2 ** 31 - 1);
}

/**
 * The room without strands as the camera sees it, linear sRGB, three numbers a pixel; `samples` x `samples`
 * rays a pixel. `finish` says how each surface looks, by night or with the lights on.
 */
export function paintRoom(room: SceneRoom, camera: Camera, finish: Finish, samples: number): Float32Array {
  const { widthPx, heightPx, forward, right, up } = camera;
  const picture = new Float32Array(widthPx * heightPx * 3);
  const [ex, ey, ez] = camera.eye;
  const above = room.heightMm - ez;
  const light: Linear = [0, 0, 0];
  const spot: SurfacePoint = { what: "tee", x: 0, y: 0, edgeMm: 0, chance: 0 };
  const share = 1 / (samples * samples);
  for (let p = 0, pixel = 0; pixel < widthPx * heightPx; pixel++, p += 3) {
    const px = pixel % widthPx;
    const py = (pixel - px) / widthPx;
    let red = 0;
    let green = 0;
    let blue = 0;
    for (let k = 0; k < samples * samples; k++) {
      const u = (px + ((k % samples) + 0.5) / samples - widthPx / 2) / camera.focalPx;
      const v = (heightPx / 2 - py - (Math.floor(k / samples) + 0.5) / samples) / camera.focalPx;
      const dx = forward[0] + u * right[0] + v * up[0];
      const dy = forward[1] + u * right[1] + v * up[1];
      const dz = forward[2] + u * right[2] + v * up[2];
      const t = dz > 0 ? above / dz : Infinity;
      const blocked = room.convex ? Infinity : firstWall(room, ex, ey, dx, dy);
      if (t < blocked && lookUp(room, ex + t * dx, ey + t * dy, finish.marksFuture, spot))
        finish.ceiling(spot, light);
      else {
        const wall = room.convex ? firstWall(room, ex, ey, dx, dy) : blocked;
        finish.wall(above - wall * dz, ex + wall * dx, ey + wall * dy, light);
      }
      red += light[0];
      green += light[1];
      blue += light[2];
    }
    const grain = share * grainAt(px, py, finish.grain);
    picture[p] = red * grain;
    picture[p + 1] = green * grain;
    picture[p + 2] = blue * grain;
  }
  return picture;
}
