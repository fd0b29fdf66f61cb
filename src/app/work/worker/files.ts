import type { Job } from "../../../job/schema.ts";
import type { Entry } from "../../../record/entry.ts";
import type { Changes } from "../../../sheets/pack/changes.ts";
import { choose } from "../../../work/stage.ts";
import type { Work } from "../../../work/work.ts";
import type { MadeFile } from "../../worker/api.ts";
import { madeFile, zipped } from "../../worker/madeFile.ts";
import type { Stoppable } from "../../worker/making.ts";
import type { PackOrder } from "./api.ts";

const OF_THE_ORDER: ReadonlySet<PackOrder> = new Set(["order.csv", "quote.pdf", "quote.csv", "cut-plan.svg"]);

/** Makes one download. Throws the signal's reason when stopped, CannotDo where there is nothing to print. */
export async function makePackFile(
  work: Work,
  job: Job,
  order: PackOrder,
  { changes, ...stoppable }: Stoppable & { changes: Changes | null; record?: readonly Entry[] },
): Promise<MadeFile> {
  const warnings: string[] = [];
  const how = {
    ...stoppable,
    changes,
    onWarning: ({ message }: { message: string }) => void warnings.push(message),
  };
  const chosen = choose(job);
  if (order === "everything") {
    const files = [...(await work.print(chosen, "pack", how)), ...(await work.print(chosen, "order", how))];
    return madeFile(job, "packs.zip", [zipped("packs.zip", files)], warnings);
  }
  const row = OF_THE_ORDER.has(order) ? "order" : "pack";
  return madeFile(job, order, await work.print(chosen, row, { ...how, only: order }), warnings);
}
