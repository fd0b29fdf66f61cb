import type { Drowned } from "./recognise.ts";
import type { Likeness } from "./likeness.ts";
import type { SkyObjectId } from "../job/sections/pattern.ts";
import type { Scale } from "./ladder.ts";
import type { Strands } from "./rungs.ts";

export type HoleKind = "star" | "moon" | "planet" | "filler";

/** Holes that stand as they were issued, and the tiles that take no others. */
export interface Standing {
  holes: readonly Hole[];
  tiles: ReadonlySet<string>;
  /** Strands for the other tiles, at most: what is left over must not crowd the last free tile. */
  most: number;
}

/** One hole to punch. Lengths in mm on the plan (seen from above), each a whole number of micrometres. */
export interface Hole {
  /** 1, 2, 3 ... by tile (row, column), then by number within the tile; holes that come after an issue go on from its highest. */
  id: number;
  tile: string;
  /** 1, 2, 3 ... within the tile: what is printed beside the mark. */
  numberInTile: number;
  kind: HoleKind;
  /** Hipparcos number, or null for bodies and filler. */
  star: number | null;
  /** "Vega", "γ² Vel", "Moon", what was typed for an added star, or "". */
  name: string;
  /** Of the star with everything merged into it, thousandths kept; null for filler. */
  magnitude: number | null;
  /** B-V, null where unknown or filler. */
  colourBv: number | null;
  /** Where the projection puts it; null for filler. */
  trueXMm: number | null;
  trueYMm: number | null;
  xMm: number;
  yMm: number;
  /** From the lower left corner of the tile's box, seen from above. */
  tileXMm: number;
  tileYMm: number;
  /** Of one strand. */
  diameterMm: number;
  /** How many strands share the hole: 1 to 7. What to drill: `holeMm` in packing.ts. */
  strands: number;
  /** 0 where the hole is where the sky puts it. */
  movedMm: number;
  /** Sky objects fainter than this one and nearer than the spacing, whose light was added. */
  merged: SkyObjectId[];
  /** Put or pinned there by a person. */
  byHand: boolean;
  /** A star beyond the limit of brightness, drawn by chance along the Milky Way; never brighter than one that isn't. */
  deeper: boolean;
  /** Makes a constellation figure. */
  inFigure: boolean;
}

export type LostReason =
  | "no free spot within reach"
  | "left out by hand"
  | "merged"
  | "no strand left"
  | "tile has its share"
  | "gives air to a constellation"
  | "its tile is issued";

export interface LostStar {
  star: number | null;
  name: string;
  magnitude: number;
  trueXMm: number;
  trueYMm: number;
  reason: LostReason;
  /** What is in the way or whom it joined, e.g. "luminaire 'pendant'", "tee", "HIP 91262". */
  detail: string;
  inFeet?: { detail: string };
  inFigure: boolean;
}

/** How a decision by hand fared in this plan. */
export interface ByHandReport {
  /** Index in job.pattern.byHand. */
  index: number;
  kept: boolean;
  /** Which hard rule or fact stands against it; "" when kept. */
  why: string;
  inFeet?: { why: string };
}

/** Measured likeness of the holes to the sky. */
export interface Fidelity {
  /** Real sky objects with a hole of their own. */
  stars: number;
  /** Of those, how many lie beyond the limit of brightness. */
  deeper: number;
  filler: number;
  moved: number;
  lost: number;
  merged: number;
  /** Moves by band of brightness: all objects with magnitude in [from, to). */
  moves: {
    from: number;
    to: number;
    count: number;
    moved: number;
    meanMm: number;
    maxMm: number;
    meanDeg: number;
    maxDeg: number;
  }[];
  /** Light of placed objects over light of all objects on the outline down to the faintest used, 0 to 1. */
  lightKept: number;
  /** Figures with all their stars on the outline: how many keep every star; and those with a star lost, by abbreviation. */
  figures: { onCeiling: number; whole: number; broken: string[] };
  /** Those that matter to the client: whether whole, and how far their stars were moved; and what their air cost. */
  mattering: { abbreviation: string; onCeiling: number; kept: number; meanMm: number; maxMm: number }[];
  gaveAir: number;
  /** Figures that will be hard to recognise among so many holes as bright. */
  drowned: Drowned[];
  /** Share of pairs of real stars with different magnitude whose strands are not in the opposite or same order (0 = every step shown). */
  orderTies: number;
  /** RMS of rendered minus compressed magnitude of the stars, after the best common zero point. */
  stepErrorMag: number;
  /** Light goes with true light to this power. */
  lightExponent: number;
  /** Of the sky's 10, 20, 30 brightest on this ceiling, how many are among its 10, 20, 30 of most light, ties by chance. */
  leading: { of: number; among: number }[];
  /** Holes per tile that takes stars: least, mean, most, and standard deviation / mean. */
  likeness: Likeness;
  perTile: { least: number; mean: number; most: number; variation: number };
  /** Faintest real star used, those beyond the limit left aside: the limit of brightness. */
  faintestMagnitude: number | null;
}

export interface Pattern {
  /** By tile (row, column), then by number within the tile. */
  holes: Hole[];
  lost: LostStar[];
  byHand: ByHandReport[];
  /** Ids of the holes whose strands a person stated: nothing exchanges them. */
  stated: number[];
  fidelity: Fidelity;
  /** The scale that the lights of holes follow. */
  scale: Scale;
  /** Strands asked for, and why fewer were placed if so ("" otherwise). */
  wanted: number;
  shortfall: string;
  /** Strands in stock that no hole takes, thickest first: what the ladder of brightness does not want. */
  spare: Strands[];
  /** Holes of several strands that are wider than the spacing or the keep-outs allow where they have to be. */
  tight: number;
}
