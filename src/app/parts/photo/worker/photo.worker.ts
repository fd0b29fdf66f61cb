import { expose, transfer } from "comlink";
import { config } from "zod";
import { addedOf } from "../../../../asBuilt/built.ts";
import { outlined } from "../../../../drawing/outlined.ts";
import { toSvg } from "../../../../drawing/svg.ts";
import { CannotDo } from "../../../../job/faults.ts";
import { DarkTester } from "../../../../photo/darkTest.ts";
import { darkTestInput } from "../../../../photo/input.ts";
import { giveBack } from "../../../../photo/giveBack.ts";
import { MOST_MEGAPIXELS, noLight, readRows, workingSize, type Light } from "../../../../photo/picture.ts";
import type { Planned } from "../../../../plan.ts";
import { drawMarks } from "../../../../sheets/photo/marked.ts";
import { photoCsv } from "../../../../sheets/photo/table.ts";
import { tileBoxes } from "../../../../sheets/photo/tileBoxes.ts";
import { choose } from "../../../../work/stage.ts";
import { answer } from "../../../worker/answer.ts";
import { sheetFonts } from "../../../worker/fonts.ts";
import { work } from "../../../worker/drawing.ts";
import { meet } from "../../../worker/way.ts";
import type { PhotoApi } from "./api.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

let opened: { plan: Planned; tester: DarkTester } | null = null;

function now(): { plan: Planned; tester: DarkTester } {
  if (opened === null) throw new Error("no plan is open in the photo worker");
  return opened;
}

/** Rows of a picture that are read at a time: a phone has little memory for all of its pixels beside their light. */
const STRIP_ROWS = 256;

/** The light of a photograph, upright; the browser decodes it and honours the turn noted by the camera. */
async function lightOf(file: File): Promise<Light & { name: string }> {
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => {
    throw new CannotDo(
      `${file.name} is no picture that this browser can read.`,
      "Choose the photograph itself, as JPEG or PNG.",
    );
  });
  const megapixels = (bitmap.width * bitmap.height) / 1e6;
  if (megapixels > MOST_MEGAPIXELS) {
    bitmap.close();
    throw new CannotDo(
      `${file.name} has ${Math.round(megapixels)} megapixels; ${MOST_MEGAPIXELS} are the most that is taken.`,
      "Set the phone to 12 megapixels and take it again: that holds every strand of a whole ceiling.",
    );
  }
  const { widthPx, heightPx } = workingSize(bitmap.width, bitmap.height);
  const light = noLight(widthPx, heightPx);
  const canvas = new OffscreenCanvas(widthPx, STRIP_ROWS);
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  if (pen === null) throw new Error("no canvas to read the picture with");
  for (let row = 0; row < heightPx; row += STRIP_ROWS) {
    pen.clearRect(0, 0, widthPx, STRIP_ROWS);
    pen.drawImage(bitmap, 0, -row, widthPx, heightPx);
    const rows = Math.min(STRIP_ROWS, heightPx - row);
    const { data: pixels } = pen.getImageData(0, 0, widthPx, rows);
    readRows(light, row, { pixels, channels: 4 });
    giveBack(pixels);
  }
  bitmap.close();
  return { name: file.name, ...light };
}

const api: PhotoApi = {
  meet,
  open: (job, choice, record) =>
    answer(async () => {
      const [made, { builtOf }] = await Promise.all([
        work.upTo(choose(job), "bundles"),
        import("../../../../work/asBuilt.ts"),
      ]);
      const { plan, bundles, differences } = builtOf(made, record);
      opened = { plan, tester: new DarkTester(darkTestInput(plan, bundles, choice)) };
      return addedOf(differences);
    }),
  add: (at, file, corners, onProgress) =>
    answer(async () => {
      onProgress("Reading the picture", 0);
      const picture = await lightOf(file);
      const report = now().tester.add(picture, corners, { tell: onProgress }, at);
      giveBack(picture.light);
      return { report, widthPx: picture.widthPx, heightPx: picture.heightPx };
    }),
  result: () => now().tester.result(),
  marks: async (at) => {
    const { plan, tester } = now();
    if (tester.lens(at) === null) return null;
    const drawing = drawMarks(tester.result(), tester, at, tileBoxes(plan.ceiling.tiles));
    return toSvg(outlined(drawing, await sheetFonts(plan.job)));
  },
  table: () => photoCsv(now().tester.result()),
  sheet: async (pictures) => {
    const { plan, tester } = now();
    const { darkTestPdf } = await import("../../../../sheets/photo/files.ts");
    const bytes = await darkTestPdf(plan, tester.result(), pictures, await sheetFonts(plan.job));
    return transfer(bytes, [bytes.buffer]);
  },
};

expose(api);
