import { zipSync, type Zippable } from "fflate";
import type { Bundles } from "../../../bundles/types.ts";
import { CannotDo } from "../../../job/faults.ts";
import type { Planned } from "../../../plan.ts";
import type { OutFile } from "../../../sheets/files.ts";
import { orderFiles, packFiles, type PackOptions } from "../../../sheets/pack/files.ts";
import { paperFacts } from "../../../sheets/laid.ts";
import { takeoffOf } from "../../../takeoff/bundled.ts";
import { safeFileName } from "../../../drawing/words.ts";
import type { MadeFile } from "../../worker/api.ts";
import type { PackOrder } from "./api.ts";

const TYPES: Record<string, string> = {
  pdf: "application/pdf",
  zip: "application/zip",
  csv: "text/csv",
  svg: "image/svg+xml",
};
/** The same job gives the same archive: every file in it bears this day. */
const FIXED_DAY = new Date(2000, 0, 1);
const OF_THE_ORDER: ReadonlySet<PackOrder> = new Set(["order.csv", "quote.pdf", "quote.csv", "cut-plan.svg"]);

export interface PackMaking extends Pick<PackOptions, "fonts" | "changes" | "signal"> {
  onProgress: (done: number, total: number) => Promise<void>;
}

/** Makes one download. Throws the signal's reason when stopped, CannotDo where there is nothing to print. */
export async function makePackFile(
  plan: Planned,
  bundles: Bundles,
  order: PackOrder,
  { onProgress, ...making }: PackMaking,
): Promise<MadeFile> {
  const warnings: string[] = [];
  const options: PackOptions = {
    ...making,
    onPage: onProgress,
    onWarning: ({ message }) => warnings.push(message),
  };
  const base = safeFileName(plan.job.title).toLowerCase();
  const takeoff = takeoffOf(plan, bundles, paperFacts(plan));
  if (order === "everything") {
    const files = [
      ...(await packFiles(plan, bundles, takeoff, options)),
      ...(await orderFiles(plan, bundles, takeoff, options)),
    ];
    return { name: `${base}-packs.zip`, type: TYPES["zip"]!, bytes: zipped(files), warnings };
  }
  const make = OF_THE_ORDER.has(order) ? orderFiles : packFiles;
  const [file] = await make(plan, bundles, takeoff, { ...options, only: order });
  if (!file) throw new CannotDo("There is no label to print.", "Place an engine, so that tails have names.");
  const type = TYPES[order.split(".").at(-1)!]!;
  return { name: `${base}-${file.path}`, type, bytes: file.bytes, warnings: [...new Set(warnings)] };
}

function zipped(files: readonly OutFile[]): Uint8Array {
  const tree: Zippable = {};
  for (const { path, bytes } of files) tree[path] = bytes;
  return zipSync(tree, { mtime: FIXED_DAY, level: 6 });
}
