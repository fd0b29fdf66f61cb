import type { Side } from "../../../../ceiling/flip.ts";
import type { Corner } from "../../../../photo/darkTest.ts";
import type { JudgedAs } from "../../../../photo/findings.ts";
import type { DarkTest, PictureReport } from "../../../../photo/types.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Entry } from "../../../../record/entry.ts";
import type { PrintedPicture } from "../../../../sheets/photo/sheet.ts";
import type { Answer, Meets } from "../../../worker/api.ts";

/** A picture as worked out: what is said of it, and the marks that lie over it. */
export interface Judged {
  report: PictureReport;
  widthPx: number;
  heightPx: number;
}

/** What the part asks of its worker. A picture is worked on without a pause, so it is stopped by ending the worker. */
export interface PhotoApi extends Meets {
  /** `record`: what happened at the bench and since; the ceiling is judged as built. Gives the holes that were added. */
  open(
    job: Job,
    choice: { side: Side; tile: string | null },
    record: readonly Entry[] | undefined,
  ): Promise<Answer<JudgedAs["added"]>>;
  add(
    at: number,
    file: File,
    corners: Corner[] | null,
    onProgress: (words: string, share: number) => void,
  ): Promise<Answer<Judged>>;
  result(): DarkTest;
  /** SVG as wide as the picture, with a foot under it; null where the plan was not found in it. */
  marks(at: number): Promise<string | null>;
  table(): string;
  sheet(pictures: PrintedPicture[]): Promise<Uint8Array>;
}
