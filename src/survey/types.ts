import { NO_GO_KINDS } from "../job/noGoKinds.ts";

/** [x, y] in the drawing's own units, in its own axes (or, where said so, in mm on the plan). */
export type Point = [number, number];

/** One line, curve or closed shape of a drawing, at its place in the whole. */
export interface Piece {
  /** Layer it is seen on: that of the insert for what lies on layer 0 of a block. */
  layer: string;
  /** Names of the blocks it lies in, outermost first. */
  blocks: string[];
  /** Number of the insert of each of these blocks. */
  inserts: number[];
  points: Point[];
  closed: boolean;
  /** Present for a whole circle. */
  round?: { centre: Point; radius: number };
  /** True for the boundary of a hatch, whose lines are pieces of their own. */
  filled?: boolean;
}

export interface DrawnText {
  layer: string;
  at: Point;
  text: string;
}

/** One block at its place. */
export interface Insert {
  layer: string;
  block: string;
  at: Point;
  /** How far it is turned counter-clockwise, in degrees. */
  turnDeg: number;
}

/** What is in a drawing but was not read, and how often. */
export interface NotRead {
  what: string;
  count: number;
}

export interface DrawingLayer {
  name: string;
  /** Frozen or switched off in the drawing. */
  hidden: boolean;
}

/** A drawing laid out flat: every block at its place, every curve as a line. */
export interface Drawing {
  /** The unit that the file states; null where it states none or one that no room is drawn in. */
  stated: Unit | null;
  layers: DrawingLayer[];
  pieces: Piece[];
  /** By the numbers that pieces name. */
  inserts: Insert[];
  texts: DrawnText[];
  notRead: NotRead[];
}

export const UNITS = ["mm", "cm", "m", "in", "ft"] as const;
export type Unit = (typeof UNITS)[number];
/** Millimetres in each unit (the inch by the international agreement of 1959). */
export const MM_IN: Record<Unit, number> = { mm: 1, cm: 10, m: 1000, in: 25.4, ft: 304.8 };

/** What the things of a layer or block are taken for. */
export const ROLES = ["outline", "grid", ...NO_GO_KINDS, "north", "ignore", "unknown"] as const;
export type Role = (typeof ROLES)[number];

/** A layer or a block of the drawing, what it is taken for, and why. */
export interface Taken {
  what: "layer" | "block";
  name: string;
  pieces: number;
  hidden: boolean;
  role: Role;
  /** Why: the part of the name that told, or what a person said. */
  why: string;
}
