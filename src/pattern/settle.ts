import type { Board } from "./board.ts";
import { Buckets } from "./buckets.ts";
import { Fate } from "./fate.ts";
import { improve } from "./improve.ts";
import type { SkyObjects } from "./objects.ts";
import { makeRoom } from "./rescue.ts";
import type { Room } from "./room.ts";
import { nearestSpot, type Spot } from "./spot.ts";

/** Settling and improving are repeated while rescued stars change the picture, at most this often. */
const MAX_ROUNDS = 12;

export interface SettleInput {
  room: Room;
  board: Board;
  objects: SkyObjects;
  reachUm: number;
  brightReachUm: number;
  /** Real objects wanted, pinned ones included. */
  want: number;
  /** Objects after this many are too faint to be used (unless pinned). */
  usable: number;
  /** Most holes a tile may get, by index in Room.tiles; null for no limit. */
  quota: Int32Array | null;
}

/** The state of settling the real objects on the ceiling. See "Settling holes" in the design. */
export class Settlement {
  readonly input: SettleInput;
  readonly fate: Uint8Array;
  /** Hole of each placed object, or -1. */
  readonly holeOf: Int32Array;
  /** For merged objects: whom they joined. */
  readonly joined: Int32Array;
  placed = 0;
  /** Objects before this one have had their turn. */
  cursor = 0;
  /** True places of the placed objects. */
  private readonly shown: Buckets;
  private readonly scratch: number[] = [];

  constructor(input: SettleInput) {
    const { objects, room, board } = input;
    this.input = input;
    this.fate = new Uint8Array(objects.count);
    this.holeOf = new Int32Array(objects.count).fill(-1);
    this.joined = new Int32Array(objects.count).fill(-1);
    const meanUm = Math.sqrt((room.usableMm2 / Math.max(1, input.want)) * 1e6);
    this.shown = new Buckets(room.box, Math.max(board.spacingUm, meanUm));
  }

  /** An object pinned by hand at a place known to be free. */
  pin(i: number, x: number, y: number, tile: number): void {
    this.settleAt(i, { x, y, tile }, true);
  }

  omit(i: number): void {
    this.fate[i] = Fate.omitted;
  }

  /** Settles as many objects as wanted, brightest first, and then lowers the sum of weighted moves. */
  run(): void {
    for (let round = 0; round < MAX_ROUNDS; round++) {
      this.advance();
      improve(this);
      if (!this.rescue()) return;
    }
  }

  reachOf(i: number): number {
    return this.input.objects.prominent[i] ? this.input.brightReachUm : this.input.reachUm;
  }

  /** Whether a tile takes one more. */
  open = (tile: number): boolean => {
    const { quota, board } = this.input;
    return !quota || board.perTile[tile]! < quota[tile]!;
  };

  /** How far the hole of a placed object is from its true place, in micrometres. */
  moveOf(i: number): number {
    const { board, objects } = this.input;
    const dx = board.x[this.holeOf[i]!]! - objects.x[i]!;
    const dy = board.y[this.holeOf[i]!]! - objects.y[i]!;
    return Math.sqrt(dx * dx + dy * dy);
  }

  nearest(i: number, reachUm: number, open?: (tile: number) => boolean): Spot | null {
    const { room, board, objects } = this.input;
    return nearestSpot(room, board, objects.x[i]!, objects.y[i]!, reachUm, open);
  }

  movable(i: number): boolean {
    return this.fate[i] === Fate.placed && !this.input.board.fixed[this.holeOf[i]!];
  }

  /** Takes an object's hole away. */
  giveUp(i: number, fate: Fate): void {
    const { board, objects } = this.input;
    board.lift(this.holeOf[i]!);
    this.shown.remove(i, objects.x[i]!, objects.y[i]!);
    this.holeOf[i] = -1;
    this.fate[i] = fate;
    this.placed--;
  }

  /** Brightest placed object that is brighter than i and truly nearer to it than the spacing, or -1. */
  brighterBeside(i: number): number {
    let brightest = -1;
    for (const j of this.truelyBeside(i)) if (j < i && (brightest < 0 || j < brightest)) brightest = j;
    return brightest;
  }

  /** Gives an object its hole; fainter ones that are truly nearer than the spacing join it. */
  settleAt(i: number, place: { x: number; y: number; tile: number }, fixed = false): void {
    const { board, objects } = this.input;
    this.holeOf[i] = board.add(place.x, place.y, place.tile, i, fixed);
    this.shown.insert(i, objects.x[i]!, objects.y[i]!);
    this.fate[i] = Fate.placed;
    this.placed++;
    for (const j of this.truelyBeside(i))
      if (j > i && this.movable(j)) {
        this.giveUp(j, Fate.merged);
        this.joined[j] = i;
      }
  }

  private truelyBeside(i: number): number[] {
    const { objects, board } = this.input;
    const s = board.spacingUm;
    const found = this.shown.gather(objects.x[i]!, objects.y[i]!, s, this.scratch);
    const beside: number[] = [];
    for (let k = 0; k < found; k++) {
      const j = this.scratch[k]!;
      const dx = objects.x[j]! - objects.x[i]!;
      const dy = objects.y[j]! - objects.y[i]!;
      if (j !== i && dx * dx + dy * dy < s * s) beside.push(j);
    }
    return beside;
  }

  /** Goes on down the list until the strands are used or the list ends. */
  private advance(): void {
    const { usable, want, board, quota } = this.input;
    let free = quota ? quota.reduce((sum, q, t) => sum + Math.max(0, q - board.perTile[t]!), 0) : Infinity;
    for (; this.cursor < usable && this.placed < want && free > 0; this.cursor++) {
      const i = this.cursor;
      if (this.fate[i] === Fate.placed || this.fate[i] === Fate.omitted) continue;
      if (this.consider(i)) free--;
    }
  }

  private consider(i: number): boolean {
    const { room, objects } = this.input;
    const brighter = this.brighterBeside(i);
    if (brighter >= 0) {
      this.fate[i] = Fate.merged;
      this.joined[i] = brighter;
      return false;
    }
    const home = room.tileAt(objects.x[i]!, objects.y[i]!);
    const spot = home >= 0 && !this.open(home) ? null : this.nearest(i, this.reachOf(i));
    if (spot && this.open(spot.tile)) {
      this.settleAt(i, spot);
      return true;
    }
    this.fate[i] = spot || home >= 0 ? Fate.tileFull : Fate.noSpot;
    if (!spot && home >= 0 && this.open(home)) this.fate[i] = Fate.noSpot;
    return false;
  }

  /**
   * Tries again for the objects given up: moves may have freed a spot, and a figure-making or bright one may
   * push or displace a lighter neighbour. The faintest pays with its strand. True when anything changed.
   */
  private rescue(): boolean {
    let changed = false;
    for (let i = 0; i < this.cursor; i++) {
      if (this.fate[i] === Fate.merged && this.fate[this.joined[i]!] === Fate.placed) continue;
      if (this.fate[i] !== Fate.noSpot && this.fate[i] !== Fate.merged) continue;
      if (this.rescueOne(i)) changed = true;
    }
    return changed;
  }

  private rescueOne(i: number): boolean {
    const { want, objects } = this.input;
    const brighter = this.brighterBeside(i);
    if (brighter >= 0) {
      this.fate[i] = Fate.merged;
      this.joined[i] = brighter;
      return false;
    }
    this.fate[i] = Fate.noSpot;
    const payer = this.placed >= want ? this.faintestAfter(i) : -1;
    if (this.placed >= want && payer < 0) return false;
    let spot = this.nearest(i, this.reachOf(i), this.open);
    if (!spot && objects.prominent[i]) spot = makeRoom(this, i);
    if (!spot) return false;
    this.settleAt(i, spot);
    if (this.placed > want && this.fate[payer] === Fate.placed) {
      this.giveUp(payer, Fate.untouched);
      this.cursor = payer;
    }
    return true;
  }

  /** The faintest movable placed object after i, or -1. */
  private faintestAfter(i: number): number {
    for (let j = this.cursor - 1; j > i; j--) if (this.movable(j)) return j;
    return -1;
  }
}
