import type { Side } from "../../../../ceiling/flip.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Entry } from "../../../../record/entry.ts";
import type { SheetPage } from "../../../../sheets/sheetPages.ts";
import type { Answer, Meets } from "../../../worker/api.ts";
import type { Made } from "../../../worker/making.ts";

/** One page as it is printed. */
export type PageEntry = Omit<SheetPage, "draw" | "scale" | "bookmark">;

/** What a job prints, before anything is drawn. */
export interface SheetsSummary {
  holes: number;
  /** What one side of the templates takes on every paper, in the order of the papers; `hours` to place it, an estimate. */
  papers: { name: string; pages: number; listed: number; areaM2: number; hours: number; best: boolean }[];
  /** Tiles with holes, in the plan's order. `punched` tells whether two plans punch the same holes there. */
  tiles: { name: string; holes: number; pages: number; punched: string }[];
  /** All pages in the order in which they are printed, on the job's paper. */
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

/** What happened at the bench and since; undefined: as planned. */
export type Recorded = readonly Entry[] | undefined;

/** What the sheets part asks of its own worker. The newest job given to `open` is the one that is printed. */
export interface SheetsApi extends Meets {
  open(job: Job, record: Recorded): Promise<Answer<SheetsSummary>>;
  /**
   * A page of the opened job, or null when there is no such page. Where engines are not shared out yet it
   * comes at once without them, unless `whole` waits for them.
   */
  page(index: number, whole: boolean): Promise<DrawnPage | null>;
  make(
    order: SheetsOrder,
    record: Recorded,
    onProgress: (done: number, total: number) => void,
  ): Promise<Made>;
  stop(): void;
  /** Issues tiles of a job, by name or (null) all that wait for nobody. `on`: the day, as 2031-02-14. */
  issue(job: Job, on: string, tiles: string[] | null): Promise<Answer<IssuedNow>>;
}

export interface IssuedNow {
  issued: Job["issued"];
  /** Tiles that were not issued before. */
  done: string[];
  /** Left out, as somebody has not answered yet. */
  held: { tile: string; why: string }[];
  /** Holes of these tiles that no engine lights yet. */
  dark: number;
}
