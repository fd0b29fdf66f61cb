import type { Board } from "./board.ts";
import { broughtOut } from "./broughtOut.ts";
import { Buckets } from "./buckets.ts";
import type { TilePoint } from "./corners.ts";
import { bandShare, type Easing } from "./easing.ts";
import { Fate } from "./fate.ts";
import type { SkyObjects } from "./objects.ts";
import type { Room } from "./room.ts";
import { inDisc, nearestSpot, type Disc, type Spot } from "./spot.ts";

/** A star gives air to one this much brighter, in thousandths of a magnitude. */
const AIR_STEP_MILLI = 1000;

const AIMED = 1;
const TOO_DEEP = 2;

export interface SettleInput {
  room: Room;
  board: Board;
  objects: SkyObjects;
  easing: Easing;
  reachUm: number;
  brightReachUm: number;
  /** The constellations that matter, by abbreviation. */
  figures: readonly string[];
  /** Fainter stars keep so far from those of a figure that matters. */
  airUm: number;
  /** Real objects wanted, pinned ones included. */
  want: number;
  /** Objects after this many are too faint to be used (unless pinned). */
  usable: number;
  /** Most holes a tile may get, by index in Room.tiles; null for no limit. */
  quota: Int32Array | null;
  /** 1 for tiles that are issued and take no more, by index in Room.tiles. */
  shut: Uint8Array;
  /** Called often; throws to give the plan up. */
  stop: () => void;
}

/**
 * The state of settling the real objects on the ceiling. See "Settling holes" in the design. Each object aims
 * at its eased place; its move, and the reach that limits it, are measured from its true place.
 */
export class Settlement {
  readonly input: SettleInput;
  readonly fate: Uint8Array;
  /** Hole of each placed object, or -1. */
  readonly holeOf: Int32Array;
  /** For merged objects: whom they joined. */
  readonly joined: Int32Array;
  /** 1 for placed objects beyond the limit of brightness (`drawDeeper`). */
  readonly deeper: Uint8Array;
  placed = 0;
  /** Objects before this one have had their turn. */
  cursor = 0;
  /** True places of the placed objects. */
  private readonly shown: Buckets;
  private readonly aimed: Uint8Array;
  private readonly aimX: Int32Array;
  private readonly aimY: Int32Array;
  private readonly scratch: number[] = [];
  /** Objects that make a figure that matters, brightest first. */
  readonly mattering: number[] = [];

  constructor(input: SettleInput) {
    const { objects, room, board } = input;
    this.input = input;
    for (let i = 0; i < objects.count; i++) if (objects.matters[i]) this.mattering.push(i);
    this.fate = new Uint8Array(objects.count);
    this.holeOf = new Int32Array(objects.count).fill(-1);
    this.joined = new Int32Array(objects.count).fill(-1);
    this.deeper = new Uint8Array(objects.count);
    this.aimed = new Uint8Array(objects.count);
    this.aimX = new Int32Array(objects.count);
    this.aimY = new Int32Array(objects.count);
    const meanUm = Math.sqrt((room.usableMm2 / Math.max(1, input.want)) * 1e6);
    this.shown = new Buckets(room.box, Math.max(board.spacingUm, meanUm));
  }

  /** An object pinned by hand at a place known to be free. */
  pin(i: number, x: number, y: number, tile: number): void {
    this.settleAt(i, { x, y, tile }, true);
  }

  omit(i: number, fate: Fate = Fate.omitted): void {
    this.fate[i] = fate;
  }

  reachOf(i: number): number {
    return this.input.objects.prominent[i] ? this.input.brightReachUm : this.input.reachUm;
  }

  /** Whether a tile takes one more. */
  open = (tile: number): boolean => {
    const { quota, board, shut } = this.input;
    return !shut[tile] && (!quota || board.perTile[tile]! < quota[tile]!);
  };

  /** Where an object's hole should be: its true place, eased clear of what hides it. */
  aimOf(i: number): { x: number; y: number } {
    if (!this.aimed[i]) {
      const { objects, easing, room } = this.input;
      const truth = { x: objects.x[i]!, y: objects.y[i]! };
      const share = bandShare(objects.matters[i] ? 0 : objects.magnitudeMilli[i]!);
      const eased = easing.eased(truth.x, truth.y, share);
      const { x, y } = eased ?? (objects.prominent[i] ? broughtOut(room, truth, objects.hip[i]!, share, this.reachOf(i)) : truth); // prettier-ignore
      this.aimX[i] = x;
      this.aimY[i] = y;
      this.aimed[i] = eased ? AIMED : TOO_DEEP;
    }
    return { x: this.aimX[i]!, y: this.aimY[i]! };
  }

  /** The star of a figure that matters to which an object gives air, or -1. */
  givesAirTo(i: number): number {
    const { objects, board, airUm } = this.input;
    if (objects.prominent[i]) return -1;
    const { x, y } = this.aimOf(i);
    for (const j of this.mattering) {
      if (this.fate[j] !== Fate.placed || objects.magnitudeMilli[j]! > objects.magnitudeMilli[i]! - AIR_STEP_MILLI) continue; // prettier-ignore
      const hole = this.holeOf[j]!;
      if (distance(x, y, board.x[hole]!, board.y[hole]!) < airUm) return j;
    }
    return -1;
  }

  /** Whether an object lies too deep under something to be brought out; a prominent one may still reach its edge. */
  private givenUp(i: number): boolean {
    this.aimOf(i);
    return this.aimed[i] === TOO_DEEP && !this.input.objects.prominent[i];
  }

  /** How far the hole of a placed object is from its true place, in micrometres. */
  moveOf(i: number): number {
    const { board, objects } = this.input;
    return distance(objects.x[i]!, objects.y[i]!, board.x[this.holeOf[i]!]!, board.y[this.holeOf[i]!]!);
  }

  /** How far a place is from where the object aims at, in micrometres. */
  strayAt(i: number, { x, y }: { x: number; y: number }): number {
    const aim = this.aimOf(i);
    return distance(aim.x, aim.y, x, y);
  }

  /** How far the hole of a placed object is from where it aims at, in micrometres. */
  strayOf(i: number): number {
    const { board } = this.input;
    return this.strayAt(i, { x: board.x[this.holeOf[i]!]!, y: board.y[this.holeOf[i]!]! });
  }

  /** How far from its aim an object can get: its reach, and what it is eased by. */
  rangeOf(i: number): number {
    const { objects } = this.input;
    return this.reachOf(i) + this.strayAt(i, { x: objects.x[i]!, y: objects.y[i]! });
  }

  /** Whether a place is within an object's reach. */
  reaches(i: number, place: TilePoint): boolean {
    return inDisc(this.reachable(i), place);
  }

  /**
   * The free spot within reach that is nearest to where the object aims at (`movedUm` is from there); at most
   * `limitUm` from there, if given. Without that limit, null means that it is too deep under something or that
   * nothing is free within reach.
   */
  nearest(i: number, open?: (tile: number) => boolean, limitUm?: number): Spot | null {
    if (this.givenUp(i)) return null;
    const { room, board, objects } = this.input;
    const aim = this.aimOf(i);
    const disc = this.reachable(i);
    const range = Math.min(limitUm ?? Infinity, this.rangeOf(i));
    const spot = nearestSpot(room, board, aim.x, aim.y, range, open, disc);
    if (spot || limitUm !== undefined) return spot;
    const other = nearestSpot(room, board, objects.x[i]!, objects.y[i]!, disc.r, open);
    return other && { ...other, movedUm: this.strayAt(i, other) };
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
    for (const j of this.trulyBeside(i)) if (j < i && (brightest < 0 || j < brightest)) brightest = j;
    return brightest;
  }

  /** Whether some placed object is truly nearer than the spacing. */
  besidePlaced(i: number): boolean {
    return this.trulyBeside(i).length > 0;
  }

  /** Marks an object as joining another where a brighter one is truly nearer than the spacing. */
  joinsBrighter(i: number): boolean {
    const brighter = this.brighterBeside(i);
    if (brighter < 0) return false;
    this.fate[i] = Fate.merged;
    this.joined[i] = brighter;
    return true;
  }

  /** Gives an object its hole; fainter ones that are truly nearer than the spacing join it. */
  settleAt(i: number, place: TilePoint, fixed = false): void {
    const { board, objects } = this.input;
    this.holeOf[i] = board.add(place.x, place.y, place.tile, i, fixed);
    this.shown.insert(i, objects.x[i]!, objects.y[i]!);
    this.fate[i] = Fate.placed;
    this.placed++;
    for (const j of this.trulyBeside(i))
      if (j > i && this.movable(j)) {
        this.giveUp(j, Fate.merged);
        this.joined[j] = i;
      }
  }

  private reachable(i: number): Disc {
    const { objects } = this.input;
    return { x: objects.x[i]!, y: objects.y[i]!, r: this.reachOf(i) };
  }

  private trulyBeside(i: number): number[] {
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
}

function distance(ax: number, ay: number, bx: number, by: number): number {
  const dx = bx - ax;
  const dy = by - ay;
  return Math.sqrt(dx * dx + dy * dy);
}
