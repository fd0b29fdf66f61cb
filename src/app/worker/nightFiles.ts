import type { Job } from "../../job/schema.ts";
import { CannotDo } from "../../job/faults.ts";
import type { Seat } from "../../scene/camera.ts";
import type { BoardFile, MadeFile } from "./nightApi.ts";

export function boardFile(_job: Job, _ids: string[], _seat: Seat, _format: BoardFile): Promise<MadeFile> {
  throw new CannotDo("x", "y");
}
export function skySheetFile(_job: Job, _id: string): Promise<MadeFile> {
  throw new CannotDo("x", "y");
}
