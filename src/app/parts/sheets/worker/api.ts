import type { Side } from "../../../../ceiling/flip.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Answer, MadeFile } from "../../../worker/api.ts";

/** One page as the pack prints it. */
export interface PageEntry {
  /** What is on it: "Tile C4", "Whole ceiling", "Notes and cautions". */
  title: string;
  /** The tile's name, or "" for pages of the whole ceiling. */
  tile: string;
  side: Side | null;
  /** "sheet 2 of 4", or "". */
  part: string;
  holes: number;
  widthMm: number;
  heightMm: number;
}

/** What a job prints, before anything is drawn. */
export interface PackSummary {
  holes: number;
  /** What one side of the templates takes on every paper, in the order of the papers; `hours` to place it, an estimate. */
  papers: { name: string; pages: number; listed: number; hours: number; best: boolean }[];
  /** Tiles with holes, in the plan's order. `marks` tells whether two plans punch the same holes there. */
  tiles: { name: string; holes: number; pages: number; marks: string }[];
  /** All pages in the order of the printed pack, on the job's paper. */
  pages: PageEntry[];
}

export interface DrawnPage {
  /** Words as outlines: looks the same without the fonts. */
  svg: string;
  /** As it will be printed, engines and all. */
  whole: boolean;
}

/** What can be downloaded. `tiles` null: every tile with holes. */
export type SheetsOrder =
  | { what: "everything" }
  | { what: "templates"; side: Side; tiles: string[] | null }
  | { what: "overview" }
  | { what: "coordinates" }
  | { what: "tile-drawing"; tile: string; side: Side; format: "svg" | "dxf" }
  | { what: "plan-drawing"; format: "svg" | "dxf" }
  | { what: "table"; name: "holes" | "lost" }
  | { what: "printer-test"; corrected: boolean };

export type Made = Answer<MadeFile> | { ok: false; stopped: true };

/** What the sheets part asks of its own worker. The newest job given to `open` is the one that is printed. */
export interface SheetsApi {
  open(job: Job): Promise<Answer<PackSummary>>;
  /**
   * A page of the opened job, or null when there is no such page. Where engines are not shared out yet it
   * comes at once without them, unless `whole` waits for them.
   */
  page(index: number, whole: boolean): Promise<DrawnPage | null>;
  make(order: SheetsOrder, onProgress: (done: number, total: number) => void): Promise<Made>;
  stop(): void;
}
