import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";
import { withBundles } from "../../../state/commands/bundles/engines.ts";
import { bounds, type Bounds, within } from "../../../state/commands/numbers.ts";

/** Strands of one diameter and length in an engine's kit, and where they stand in the job. */
export interface KitRow {
  kit: number;
  row: number;
  diameterMm: number;
  count: number;
  lengthM: number;
}
export type KitNumber = "diameterMm" | "count" | "lengthM";

export const KIT_NUMBERS: Record<KitNumber, Bounds> = {
  diameterMm: bounds("diameter", LIMITS.diameterMm),
  count: bounds("count", LIMITS.kitCount),
  lengthM: bounds("length", LIMITS.strandM, 2),
};
const MOST_ROWS = 40;

/** All strands that come with an engine; none: it is fed from reels. */
export function kitRows(job: Job, letter: string): KitRow[] {
  return job.bundles.kits.flatMap((kit, k) =>
    kit.engine === letter
      ? kit.strands.map(({ diameterMm, count, lengthM }, row) => ({
          kit: k,
          row,
          diameterMm,
          count,
          lengthM,
        }))
      : [],
  );
}

/** Another row of strands; the first one makes the kit. */
export function addKitRow(job: Job, letter: string): Edit {
  const { kits } = job.bundles;
  const last = kitRows(job, letter).at(-1);
  const stock = job.strands.stock[0];
  const row = last
    ? { diameterMm: last.diameterMm, count: 0, lengthM: last.lengthM }
    : { diameterMm: stock?.diameterMm ?? 0.75, count: 0, lengthM: 5 };
  const name = `Add strands to kit ${letter}`;
  if (!last) return { name, job: withBundles(job, { kits: [...kits, { engine: letter, strands: [row] }] }) };
  const kit = kits[last.kit]!;
  if (kit.strands.length >= MOST_ROWS) throw new Refusal(`At most ${MOST_ROWS} rows in a kit.`);
  return {
    name,
    job: withBundles(job, { kits: kits.with(last.kit, { ...kit, strands: [...kit.strands, row] }) }),
  };
}

export function setKitRow(job: Job, at: KitRow, key: KitNumber, value: number): Edit {
  const { kits } = job.bundles;
  const kit = kits[at.kit];
  const row = kit?.strands[at.row];
  if (!kit || !row) throw new Refusal("Those strands are no longer in the kit.");
  const strands = kit.strands.with(at.row, { ...row, [key]: within(KIT_NUMBERS[key], value) });
  return {
    name: `Change kit ${kit.engine}`,
    job: withBundles(job, { kits: kits.with(at.kit, { ...kit, strands }) }),
    merge: `kit ${at.kit} ${at.row} ${key}`,
  };
}

/** Without its last row there is no kit, and the engine is fed from reels. */
export function removeKitRow(job: Job, at: KitRow): Edit {
  const { kits } = job.bundles;
  const kit = kits[at.kit];
  if (!kit) throw new Refusal("That kit is no longer in the job.");
  const strands = kit.strands.toSpliced(at.row, 1);
  return {
    name:
      strands.length > 0 ? `Remove strands from kit ${kit.engine}` : `Feed engine ${kit.engine} from reels`,
    job: withBundles(job, {
      kits: strands.length > 0 ? kits.with(at.kit, { ...kit, strands }) : kits.toSpliced(at.kit, 1),
    }),
  };
}

/** The same strands for another engine, in place of what it had. */
export function copyKit(job: Job, from: string, to: string): Edit {
  const strands = kitRows(job, from).map(({ diameterMm, count, lengthM }) => ({
    diameterMm,
    count,
    lengthM,
  }));
  if (strands.length === 0) throw new Refusal(`Engine ${from} has no kit to copy.`);
  const others = job.bundles.kits.filter(({ engine }) => engine !== to);
  return {
    name: `Give engine ${to} the kit of ${from}`,
    job: withBundles(job, { kits: [...others, { engine: to, strands }] }),
  };
}
