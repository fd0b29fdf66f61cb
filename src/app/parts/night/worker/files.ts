import { heightAssumed } from "../../../../job/assumed.ts";
import type { LitPlan } from "../../../../bundles/litPlan.ts";
import type { Warning } from "../../../../job/faults.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Seat } from "../../../../scene/camera.ts";
import { BOARD_FORMATS, type BoardFormat, type BoardNight } from "../../../../sheets/board.ts";
import { packPaper } from "../../../../sheets/papers.ts";
import { catalogFor, choose } from "../../../../work/stage.ts";
import { work } from "../../../worker/drawing.ts";
import { BROWSER } from "../../../worker/way.ts";
import type { MadeBoard, MadePage } from "./api.ts";
import { sheetFonts } from "../../../worker/fonts.ts";

const JPEG_QUALITY = 0.92;
/** Width of a board page as a picture. */
const BOARD_WIDTH_PX = 2560;

/** Two to four nights from one seat a page each with the facts that decide. */
export async function boardOf(
  job: Job,
  nightIds: string[],
  seat: Seat,
  format: BoardFormat,
): Promise<MadeBoard> {
  const { boardPictures } = await import("../../../../sheets/boardNight.ts");
  const settled: LitPlan[] = [];
  for (const id of nightIds) settled.push(await work.print(choose(job, id), "lit", undefined));
  const catalog = await catalogFor(BROWSER, ...nightIds.map((id) => choose(job, id)));
  const pictures = boardPictures(settled, catalog, { seat, dimmer: job.scene.dimmer });
  const aspect = pictures[0]!.widthPx / pictures[0]!.heightPx;
  const nights: BoardNight[] = [];
  for (const { facts, marks, frame, widthPx, heightPx } of pictures)
    nights.push({ facts, marks, picture: await jpegOf(frame, widthPx, heightPx) });
  const words = {
    title: job.title,
    who: [job.client, job.room].filter(Boolean).join(" · "),
    view: [`Seen from: ${seat.name}`, `dimmer at ${Math.round(100 * job.scene.dimmer)} %`, heightAssumed(job)]
      .filter(Boolean)
      .join(" · "),
    revision: job.revision,
    units: job.units,
  };
  const { makeBoard } = await import("../../../../sheets/shown.ts");
  const warnings: string[] = [];
  const fonts = await sheetFonts(job);
  const onWarning = ({ message }: Warning): void => void warnings.push(message);
  const { pdf, svgs } = await makeBoard({ nights, words, format, fonts, pictureAspect: aspect, onWarning });
  const page = BOARD_FORMATS[format];
  return {
    pdf,
    svgs,
    warnings,
    widthPx: BOARD_WIDTH_PX,
    heightPx: Math.round((BOARD_WIDTH_PX * page.heightMm) / page.widthMm),
  };
}

/** The one page a client signs. */
export async function skySheetOf(job: Job, nightId: string): Promise<MadePage> {
  const warnings: string[] = [];
  const how = {
    paper: packPaper(job),
    onWarning: ({ message }: Warning): void => void warnings.push(message),
  };
  return { pdf: await work.print(choose(job, nightId), "skySheet", how), warnings };
}

async function jpegOf(pixels: Uint8ClampedArray, widthPx: number, heightPx: number): Promise<Uint8Array> {
  const canvas = new OffscreenCanvas(widthPx, heightPx);
  canvas.getContext("2d")?.putImageData(new ImageData(pixels as ImageDataArray, widthPx, heightPx), 0, 0);
  const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: JPEG_QUALITY });
  return new Uint8Array(await blob.arrayBuffer());
}
