import { openPdf } from "../../drawing/pdf.ts";
import { readTypeface, type FontBytes } from "../../drawing/typeface.ts";
import type { DarkTest } from "../../photo/types.ts";
import type { Planned } from "../../plan.ts";
import { sheetContext } from "../context.ts";
import type { Warning } from "../../job/faults.ts";
import { missingWarning, type OutFile } from "../files.ts";
import { darkTestPages, type PrintedPicture } from "./sheet.ts";
import { photoCsv } from "./table.ts";

/** `dark-test.pdf`: the sheet that goes up the ladder. */
export async function darkTestPdf(
  plan: Planned,
  test: DarkTest,
  pictures: readonly PrintedPicture[],
  fonts: FontBytes,
  onWarning?: (warning: Warning) => void,
): Promise<Uint8Array> {
  const context = sheetContext(plan, readTypeface(fonts));
  const file = await openPdf({ title: `${context.clean(plan.job.title)}: dark test`, fonts });
  for (const { drawing, bookmark } of darkTestPages(context, test, pictures)) file.addPage(drawing, bookmark);
  const missing = missingWarning(context);
  if (missing) onWarning?.(missing);
  return file.bytes();
}

/** What a dark test writes beside its marked pictures. */
export async function darkTestFiles(
  plan: Planned,
  test: DarkTest,
  pictures: readonly PrintedPicture[],
  fonts: FontBytes,
  onWarning?: (warning: Warning) => void,
): Promise<OutFile[]> {
  const encode = (words: string) => new TextEncoder().encode(words);
  return [
    { path: "photo.csv", bytes: encode(photoCsv(test)) },
    { path: "photo.json", bytes: encode(`${JSON.stringify(test, null, 1)}\n`) },
    { path: "dark-test.pdf", bytes: await darkTestPdf(plan, test, pictures, fonts, onWarning) },
  ];
}
