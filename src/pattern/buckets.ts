import type { BoxUm } from "../geometry/types.ts";

/** Most cells taken; the cell grows where a room would need more. */
const MAX_CELLS = 2 ** 21;

/**
 * Points by square cells, for neighbours while points come and go (kdbush, the library at hand, is
 * built once and then fixed). The caller keeps the coordinates.
 */
export class Buckets {
  private readonly columns: number;
  private readonly rows: number;
  private readonly cellUm: number;
  private readonly box: BoxUm;
  private readonly head: Int32Array;
  private readonly next: number[] = [];

  constructor(box: BoxUm, cellUm: number) {
    this.box = box;
    const width = Math.max(1, box.maxX - box.minX);
    const height = Math.max(1, box.maxY - box.minY);
    this.cellUm = Math.ceil(Math.max(cellUm, Math.sqrt((width / MAX_CELLS) * height), 1));
    this.columns = Math.floor(width / this.cellUm) + 1;
    this.rows = Math.floor(height / this.cellUm) + 1;
    this.head = new Int32Array(this.columns * this.rows).fill(-1);
  }

  insert(id: number, x: number, y: number): void {
    const cell = this.row(y) * this.columns + this.column(x);
    this.next[id] = this.head[cell]!;
    this.head[cell] = id;
  }

  remove(id: number, x: number, y: number): void {
    const cell = this.row(y) * this.columns + this.column(x);
    let at = this.head[cell]!;
    if (at === id) {
      this.head[cell] = this.next[id]!;
      return;
    }
    while (this.next[at] !== id) at = this.next[at]!;
    this.next[at] = this.next[id]!;
  }

  /** Puts every id whose cell touches the square of half side r into `out` and returns how many. */
  gather(x: number, y: number, r: number, out: number[]): number {
    const firstColumn = this.column(x - r);
    const lastColumn = this.column(x + r);
    const lastRow = this.row(y + r);
    let count = 0;
    for (let row = this.row(y - r); row <= lastRow; row++)
      for (let column = firstColumn; column <= lastColumn; column++)
        for (let id = this.head[row * this.columns + column]!; id >= 0; id = this.next[id]!)
          out[count++] = id;
    return count;
  }

  private column(x: number): number {
    const i = Math.floor((x - this.box.minX) / this.cellUm);
    return i < 0 ? 0 : i >= this.columns ? this.columns - 1 : i;
  }

  private row(y: number): number {
    const i = Math.floor((y - this.box.minY) / this.cellUm);
    return i < 0 ? 0 : i >= this.rows ? this.rows - 1 : i;
  }
}
