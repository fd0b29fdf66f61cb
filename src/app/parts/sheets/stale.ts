import type { Job } from "../../../job/schema.ts";
import { same } from "../../../work/reads.ts";
import type { SheetsSummary, SheetsOrder } from "./worker/api.ts";

/** The holes of every tile, by name, as they were printed. */
export type Marks = ReadonlyMap<string, string>;

/** Something downloaded since the page was opened. */
export interface Download {
  name: string;
  order: SheetsOrder;
  job: Job;
  marks: Marks;
  at: Date;
  warnings: string[];
}

export const marksOf = ({ tiles }: SheetsSummary): Marks => new Map(tiles.map((t) => [t.name, t.punched]));

/** Tiles whose holes differ between two plans: moved, more, fewer, another strand, or all gone. */
export function changedTiles(before: Marks, after: Marks): string[] {
  const names = new Set([...before.keys(), ...after.keys()]);
  return [...names].filter((name) => before.get(name) !== after.get(name));
}

/** What a download has to do with the job as it stands. */
export type Staleness =
  | { kind: "current" }
  /** Same holes; something else is not (title, paper, printer ...). */
  | { kind: "words" }
  | { kind: "holes"; tiles: string[] };

export function staleness(
  { order, job, marks }: Pick<Download, "order" | "job" | "marks">,
  now: Job,
  after: Marks,
): Staleness {
  if (order.what === "printer-test") return { kind: "current" };
  const mine = tilesOf(order);
  // also of the same job: the record may tell of other holes by now
  const tiles = changedTiles(marks, after).filter((name) => mine === null || mine.includes(name));
  if (tiles.length > 0) return { kind: "holes", tiles };
  return { kind: same(rowOf(order), job, now) ? "current" : "words" };
}

/** The printed thing that a download is a part of. */
function rowOf({ what }: SheetsOrder): "plan" | "sheets" {
  return what === "templates" || what === "overview" || what === "tile-drawing" ? "sheets" : "plan";
}

/** The tiles that a download shows; null: all. */
function tilesOf(order: SheetsOrder): string[] | null {
  if (order.what === "templates") return order.tiles;
  return order.what === "tile-drawing" ? [order.tile] : null;
}
