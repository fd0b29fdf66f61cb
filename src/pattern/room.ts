import { forEachEdge, isBox } from "../geometry/measure.ts";
import { prepareArea } from "../geometry/prepare.ts";
import type { BoxUm } from "../geometry/types.ts";
import type { Ceiling, Tile } from "../ceiling/types.ts";
import { boxOf } from "../geometry/measure.ts";

/** A tile that can take holes, made ready for many questions. */
export interface StarTile {
  tile: Tile;
  /** Box of the usable area. */
  box: BoxUm;
  contains(x: number, y: number): boolean;
  /** Edges of the usable area laid flat: ax, ay, bx, by, ... */
  edges: Float64Array;
}

/** Everywhere a hole may lie: the usable area of every tile, found by place. */
export class Room {
  readonly tiles: StarTile[];
  readonly box: BoxUm;
  readonly usableMm2: number;
  private readonly cellUm: number;
  private readonly columns: number;
  private readonly rows: number;
  private readonly cells: number[][];
  private readonly seen: Int32Array;
  private round = 0;

  constructor(ceiling: Ceiling) {
    this.box = ceiling.box;
    this.tiles = ceiling.tiles.filter((t) => t.use === "stars" && t.usable.length > 0).map(starTile);
    this.usableMm2 = this.tiles.reduce((sum, { tile }) => sum + tile.usableMm2, 0);
    const width = this.box.maxX - this.box.minX;
    const height = this.box.maxY - this.box.minY;
    this.cellUm = Math.ceil(Math.max(1, Math.sqrt((width / (4 * this.tiles.length + 1)) * height)));
    this.columns = Math.floor(width / this.cellUm) + 1;
    this.rows = Math.floor(height / this.cellUm) + 1;
    this.cells = Array.from({ length: this.columns * this.rows }, () => []);
    this.tiles.forEach(({ box }, index) =>
      this.forEachCell(box.minX, box.minY, box.maxX, box.maxY, (cell) => cell.push(index)),
    );
    this.seen = new Int32Array(this.tiles.length);
  }

  /** Index of the tile in whose usable area the point lies (boundary inside), or -1. Exact. */
  tileAt(x: number, y: number): number {
    const column = Math.floor((x - this.box.minX) / this.cellUm);
    const row = Math.floor((y - this.box.minY) / this.cellUm);
    if (column < 0 || row < 0 || column >= this.columns || row >= this.rows) return -1;
    for (const index of this.cells[row * this.columns + column]!)
      if (this.tiles[index]!.contains(x, y)) return index;
    return -1;
  }

  /** Indexes of tiles whose usable box comes within r of the point. */
  tilesNear(x: number, y: number, r: number): number[] {
    const found: number[] = [];
    this.round++;
    this.forEachCell(x - r, y - r, x + r, y + r, (cell) => {
      for (const index of cell) {
        const { minX, minY, maxX, maxY } = this.tiles[index]!.box;
        if (this.seen[index] === this.round) continue;
        this.seen[index] = this.round;
        if (minX <= x + r && maxX >= x - r && minY <= y + r && maxY >= y - r) found.push(index);
      }
    });
    return found.sort((p, q) => p - q);
  }

  private forEachCell(
    minX: number,
    minY: number,
    maxX: number,
    maxY: number,
    visit: (cell: number[]) => void,
  ) {
    const at = (v: number, origin: number, count: number) =>
      Math.min(count - 1, Math.max(0, Math.floor((v - origin) / this.cellUm)));
    const lastColumn = at(maxX, this.box.minX, this.columns);
    const lastRow = at(maxY, this.box.minY, this.rows);
    for (let row = at(minY, this.box.minY, this.rows); row <= lastRow; row++)
      for (let column = at(minX, this.box.minX, this.columns); column <= lastColumn; column++)
        visit(this.cells[row * this.columns + column]!);
  }
}

function starTile(tile: Tile): StarTile {
  const box = boxOf(tile.usable);
  const flat: number[] = [];
  forEachEdge(tile.usable, (a, b) => flat.push(a.x, a.y, b.x, b.y));
  const contains = isBox(tile.usable)
    ? (x: number, y: number) => x >= box.minX && x <= box.maxX && y >= box.minY && y <= box.maxY
    : prepareArea(tile.usable).contains;
  return { tile, box, contains, edges: Float64Array.from(flat) };
}
