import { Buckets } from "./buckets.ts";
import type { Room } from "./room.ts";

/** Cells along the mean distance of holes: small ones, so that a crowd in one place fills no cell with hundreds. */
const CELLS_PER_HOLE = 4;

/** `object` of a hole that is filler. */
export const FILLER = -1;

/**
 * The holes as they stand while a pattern is being settled: whole micrometres on the plan, each with the
 * tile it lies in and the sky object it shows. A lifted hole keeps its id and can be put elsewhere.
 */
export class Board {
  readonly x: number[] = [];
  readonly y: number[] = [];
  readonly tile: number[] = [];
  readonly object: number[] = [];
  /** Put there by a person: never moved, never given up. */
  readonly fixed: boolean[] = [];
  readonly perTile: Int32Array;
  readonly spacingUm: number;
  count = 0;
  /** Neighbours looked at so far: the measure of work, alike on every machine. */
  looks = 0;
  private readonly alive: boolean[] = [];
  private readonly buckets: Buckets;
  private readonly scratch: number[] = [];

  /** `expected` is about how many holes will come, for the size of the cells. */
  constructor(room: Room, spacingUm: number, expected: number) {
    this.spacingUm = spacingUm;
    const meanUm = Math.sqrt((room.usableMm2 / Math.max(1, expected)) * 1e6);
    this.buckets = new Buckets(room.box, Math.max(spacingUm, meanUm / CELLS_PER_HOLE));
    this.perTile = new Int32Array(room.tiles.length);
  }

  add(x: number, y: number, tile: number, object: number, fixed = false): number {
    const id = this.x.length;
    this.object.push(object);
    this.fixed.push(fixed);
    this.alive.push(false);
    this.put(id, x, y, tile);
    return id;
  }

  put(id: number, x: number, y: number, tile: number): void {
    this.x[id] = x;
    this.y[id] = y;
    this.tile[id] = tile;
    this.alive[id] = true;
    this.buckets.insert(id, x, y);
    this.perTile[tile]!++;
    this.count++;
  }

  lift(id: number): void {
    this.alive[id] = false;
    this.buckets.remove(id, this.x[id]!, this.y[id]!);
    this.perTile[this.tile[id]!]!--;
    this.count--;
  }

  /** Whether some hole is nearer than the spacing. Exact. */
  blocked(x: number, y: number): boolean {
    return this.closer(x, y, this.spacingUm);
  }

  /** Whether some hole is nearer than a distance. Exact. */
  closer(x: number, y: number, um: number): boolean {
    const found = this.buckets.gather(x, y, um, this.scratch);
    this.looks += found + 1;
    for (let i = 0; i < found; i++) {
      const id = this.scratch[i]!;
      const dx = this.x[id]! - x;
      const dy = this.y[id]! - y;
      if (dx * dx + dy * dy < um * um) return true;
    }
    return false;
  }

  /** Ids of the holes within r of a point. */
  within(x: number, y: number, r: number): number[] {
    const found = this.buckets.gather(x, y, r, this.scratch);
    this.looks += found + 1;
    const near: number[] = [];
    for (let i = 0; i < found; i++) {
      const id = this.scratch[i]!;
      const dx = this.x[id]! - x;
      const dy = this.y[id]! - y;
      if (dx * dx + dy * dy <= r * r) near.push(id);
    }
    return near;
  }

  /** Ids of all holes that stand. */
  ids(): number[] {
    const ids: number[] = [];
    for (let id = 0; id < this.alive.length; id++) if (this.alive[id]) ids.push(id);
    return ids;
  }
}
