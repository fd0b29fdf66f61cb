import type { PointMm } from "../geometry/types.ts";
import type { Code } from "../job/codes.ts";
import type { Fault, Warning } from "../job/faults.ts";
import type { Hole } from "../pattern/types.ts";

/** Something that can't be done as asked; everything else is planned all the same. */
export interface BundleFault extends Fault {
  code: Code;
}

/** One strand; a hole of several has one record for each, all with one engine and place at its port. */
export interface Strand {
  /** Hole.id */
  hole: number;
  tile: string;
  /** Letter of the engine. */
  engine: string;
  diameterMm: number;
  /** Of the kit item, or as cut from the reel. */
  lengthM: number;
  /** What the way from port to hole takes. */
  needM: number;
  /** Magnitudes lost along `lengthM`. */
  lossMag: number;
  /** From 1; null without channels. */
  channel: number | null;
  /** Place round the port, 0-360; null without a wheel. */
  wheelDeg: number | null;
}

/** Strands of one diameter and length. */
export interface StrandLot {
  diameterMm: number;
  lengthM: number;
  count: number;
}

/** All strands of one tile that go to one engine, tied together. */
export interface Tail {
  /** "A-C4": engine, then tile. Printed on both ends. */
  name: string;
  tile: string;
  engine: string;
  lots: StrandLot[];
  /** Longest way from port to hole among its strands. */
  needM: number;
  /** Right-angled run above the grid on the plan, from the engine to where the tail enters the tile. */
  routeMm: PointMm[];
  routeM: number;
  /** No tighter bend than this, for its thickest strand. */
  bendRadiusMm: number;
}

/** What an engine ends up with. */
export interface EngineUse {
  letter: string;
  name: string;
  atMm: PointMm;
  strands: number;
  capacity: number;
  tiles: string[];
  /** Used strands by diameter and length; for a kit also what is left of each. */
  lots: (StrandLot & { spare: number | null })[];
  /** Sum of d^2 over D^2, and what hand packing allows. */
  portFill: number;
  portLimit: number;
  strandM: number;
  /** Runs hung above the ceiling, shared by the tails that go the same way. */
  runM: number;
  supports: number;
  longestM: number;
}

/** How the sharing-out was found, and how good it is known to be. */
export interface Allotment {
  way: "optimal" | "time limit" | "hand rule" | "as issued";
  /** Strand to be run, in all, for the lit holes. */
  strandM: number;
  /** Proven: no sharing-out can be better by more than this share of the cost. 0 = best there is. */
  gap: number;
  /** Tiles with more than one tail. */
  splitTiles: string[];
  /** Borders between tiles of different engines. */
  borders: number;
}

export interface Unlit {
  hole: number;
  tile: string;
  /** That the hole would have. */
  strands: number;
  why: string;
}

/** From holes to engines: plain data for sheets, tables and the studio. */
export interface Bundles {
  /** By hole, one for each strand of it. */
  strands: Strand[];
  unlit: Unlit[];
  /** By engine, then in the plan's order of tiles. */
  tails: Tail[];
  engines: EngineUse[];
  allotment: Allotment;
  faults: BundleFault[];
  warnings: Warning[];
}

/** Tiles shared out to engines, and the holes where strands were exchanged for length; null: as planned. */
export interface SharedOut {
  bundles: Bundles;
  holes: Hole[] | null;
}

/** Names of tails, engines and faults in one order: thinnest, shortest, first. */
export function compareLots(a: StrandLot, b: StrandLot): number {
  return a.diameterMm - b.diameterMm || a.lengthM - b.lengthM;
}
