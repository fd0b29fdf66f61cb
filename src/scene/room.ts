import { containsPoint, nearestOnBoundary } from "../geometry/area.ts";
import type { Ceiling, Tile } from "../ceiling/types.ts";
import { rayThrough, type Camera } from "./camera.ts";
import { hash32 } from "./exact.ts";
import type { Finish, Linear, Spot } from "./finish.ts";

type NoGoArea = Ceiling["noGo"][number];

/** One module cell of the grid, for quick answers. */
interface Cell {
  tile: Tile | null;
  /** The room's edge passes through or near it. */
  border: boolean;
  fittings: NoGoArea[];
}

/** The room made ready to answer what a ray meets. */
export interface Room {
  ceiling: Ceiling;
  heightMm: number;
  cells: Cell[];
  columns: number;
  rows: number;
  fromX: number;
  fromY: number;
  /** Every wall is seen from everywhere. */
  convex: boolean;
  edges: { ax: number; ay: number; bx: number; by: number }[];
}

const mm = (um: number): number => um / 1000;

/** Sorts tiles and fittings into module cells. Lengths in mm. */
export function makeRoom(ceiling: Ceiling, heightMm: number): Room {
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
  const edges: Room["edges"] = [];
  for (const ring of ceiling.outline) {
    ring.forEach((a, i) => {
      const b = ring[(i + 1) % ring.length]!;
      edges.push({ ax: mm(a.x), ay: mm(a.y), bx: mm(b.x), by: mm(b.y) });
    });
  }
  const reach = 30;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const left = fromX + column * mx;
      const bottom = fromY + row * my;
      cells[row * columns + column]!.border = edges.some(
        (e) =>
          Math.min(e.ax, e.bx) <= left + mx + reach &&
          Math.max(e.ax, e.bx) >= left - reach &&
          Math.min(e.ay, e.by) <= bottom + my + reach &&
          Math.max(e.ay, e.by) >= bottom - reach,
      );
    }
  }
  for (const zone of ceiling.noGo) {
    const xs = zone.shape.flat().map((p) => mm(p.x));
    const ys = zone.shape.flat().map((p) => mm(p.y));
    const first = (v: number, from: number, step: number) => Math.max(0, Math.floor((v - from) / step));
    for (let row = first(Math.min(...ys), fromY, my); row <= first(Math.max(...ys), fromY, my); row++) {
      for (let c = first(Math.min(...xs), fromX, mx); c <= first(Math.max(...xs), fromX, mx); c++) {
        if (row < rows && c < columns) cells[row * columns + c]!.fittings.push(zone);
      }
    }
  }
  const turns = edges.map((e, i) => {
    const next = edges[(i + 1) % edges.length]!;
    return (e.bx - e.ax) * (next.by - next.ay) - (e.by - e.ay) * (next.bx - next.ax);
  });
  const convex = ceiling.outline.length === 1 && (turns.every((t) => t >= 0) || turns.every((t) => t <= 0));
  return { ceiling, heightMm, cells, columns, rows, fromX, fromY, convex, edges };
}

/** Whether a point on the plan (mm) is inside the room. */
export function isInside(room: Room, xMm: number, yMm: number): boolean {
  return containsPoint(room.ceiling.outline, xMm * 1000, yMm * 1000);
}

/** Share of the way from a to b where the first wall stands, or Infinity. */
function firstWall(room: Room, ax: number, ay: number, dx: number, dy: number): number {
  let first = Infinity;
  for (const e of room.edges) {
    const ex = e.bx - e.ax;
    const ey = e.by - e.ay;
    const across = dx * ey - dy * ex;
    if (across === 0) continue;
    const s = ((e.ax - ax) * ey - (e.ay - ay) * ex) / across;
    const t = ((e.ax - ax) * dy - (e.ay - ay) * dx) / across;
    if (s > 1e-9 && s < first && t >= 0 && t <= 1) first = s;
  }
  return first;
}

/** Whether a corner of the room stands between the eye and a point of the ceiling. */
export function isHidden(room: Room, camera: Camera, xMm: number, yMm: number): boolean {
  if (room.convex) return false;
  const [ex, ey] = camera.eye;
  return firstWall(room, ex, ey, xMm - ex, yMm - ey) < 1 - 1e-6;
}

/** What is at a point of the ceiling, or null outside the room. Lengths in mm. */
function ceilingSpot(room: Room, x: number, y: number): Spot | null {
  const { ceiling } = room;
  const [mx, my] = ceiling.grid.moduleMm;
  const column = Math.floor((x - room.fromX) / mx);
  const row = Math.floor((y - room.fromY) / my);
  if (column < 0 || row < 0 || column >= room.columns || row >= room.rows) return null;
  const cell = room.cells[row * room.columns + column]!;
  let toWall = Infinity;
  if (cell.border) {
    if (!isInside(room, x, y)) return null;
    const near = nearestOnBoundary(ceiling.outline, x * 1000, y * 1000);
    toWall = near === null ? Infinity : Math.sqrt(near.distance2) / 1000;
  }
  for (const zone of cell.fittings) {
    if (!containsPoint(zone.shape, x * 1000, y * 1000)) continue;
    const near = nearestOnBoundary(zone.shape, x * 1000, y * 1000);
    return {
      what: zone.source.kind,
      x,
      y,
      edgeMm: near === null ? 0 : Math.sqrt(near.distance2) / 1000,
      chance: hash32(zone.index, 5),
    };
  }
  const u = x - room.fromX - column * mx;
  const v = y - room.fromY - row * my;
  const toTee = Math.min(u, mx - u, v, my - v) - ceiling.grid.teeFaceMm / 2;
  const chance = hash32(row, column);
  if (toWall < ceiling.grid.wallAngleMm) return { what: "wall-angle", x, y, edgeMm: toWall, chance };
  if (toTee < 0) return { what: "tee", x, y, edgeMm: -toTee, chance };
  const use = cell.tile?.use ?? "plain";
  const edgeMm = Math.min(toTee, toWall - ceiling.grid.wallAngleMm);
  return { what: use === "plain" ? "plain" : "fabric", x, y, edgeMm, chance };
}

/**
 * The room without strands as the camera sees it, linear sRGB, three numbers a pixel; `samples` x `samples`
 * rays a pixel. `finish` says how each surface looks, by night or with the lights on.
 */
export function paintRoom(room: Room, camera: Camera, finish: Finish, samples: number): Float32Array {
  const { widthPx, heightPx } = camera;
  const picture = new Float32Array(widthPx * heightPx * 3);
  const [ex, ey, ez] = camera.eye;
  const light: Linear = [0, 0, 0];
  const share = 1 / (samples * samples);
  for (let py = 0; py < heightPx; py++) {
    for (let px = 0; px < widthPx; px++) {
      let red = 0;
      let green = 0;
      let blue = 0;
      for (let k = 0; k < samples * samples; k++) {
        const sx = px + ((k % samples) + 0.5) / samples;
        const sy = py + (Math.floor(k / samples) + 0.5) / samples;
        const [dx, dy, dz] = rayThrough(camera, sx, sy);
        const t = dz > 0 ? (room.heightMm - ez) / dz : Infinity;
        let spot: Spot | null = null;
        let wall = Infinity;
        if (!room.convex || t === Infinity) wall = firstWall(room, ex, ey, dx, dy);
        if (t < wall) spot = ceilingSpot(room, ex + t * dx, ey + t * dy);
        if (spot) finish.ceiling(spot, light);
        else {
          if (wall === Infinity) wall = firstWall(room, ex, ey, dx, dy);
          finish.wall(room.heightMm - (ez + wall * dz), ex + wall * dx, ey + wall * dy, light);
        }
        red += light[0];
        green += light[1];
        blue += light[2];
      }
      const p = 3 * (py * widthPx + px);
      const grain = finish.grain === 0 ? 1 : 1 + finish.grain * (hash32(px, py) / 2 ** 31 - 1);
      picture[p] = red * share * grain;
      picture[p + 1] = green * share * grain;
      picture[p + 2] = blue * share * grain;
    }
  }
  return picture;
}
