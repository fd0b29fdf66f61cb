import { toMm, UM_PER_MM } from "../../../../geometry/um.ts";
import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";
import { readWhole } from "./numbers.ts";

type Strands = Job["strands"];

/** What a row of the stock may hold, as the job document has it. */
export const DIAMETER_MM = LIMITS.diameterMm;
export const MOST_STRANDS = LIMITS.stockCount.max;
const MOST_ROWS = 20;

/** How many strands the van holds in all. */
export function strandsInStock({ stock }: Strands): number {
  return stock.reduce((sum, { count }) => sum + count, 0);
}

export function addStrand(job: Job, diameterMm: number, count: number): Edit {
  const { stock } = job.strands;
  if (stock.length >= MOST_ROWS) throw new Refusal(`At most ${MOST_ROWS} diameters.`);
  const row = { diameterMm: diameterOf(diameterMm), count: countOf(count) };
  refuseTwin(stock, row.diameterMm, -1);
  return { name: `Add ${row.diameterMm} mm strand`, job: withStock(job, [...stock, row]) };
}

export function removeStrand(job: Job, index: number): Edit {
  const { stock } = job.strands;
  const { diameterMm } = rowAt(stock, index);
  if (stock.length === 1) throw new Refusal("One diameter has to stay. Change it instead.");
  return { name: `Remove ${diameterMm} mm strand`, job: withStock(job, stock.toSpliced(index, 1)) };
}

export function setStrandCount(job: Job, index: number, count: number): Edit {
  const { stock } = job.strands;
  const row = rowAt(stock, index);
  return {
    name: `Set the count of ${row.diameterMm} mm strand`,
    job: withStock(job, stock.with(index, { ...row, count: countOf(count) })),
    merge: `count ${index}`,
  };
}

export function setStrandDiameter(job: Job, index: number, diameterMm: number): Edit {
  const { stock } = job.strands;
  const row = rowAt(stock, index);
  const next = diameterOf(diameterMm);
  refuseTwin(stock, next, index);
  return {
    name: `Change ${row.diameterMm} mm strand to ${next} mm`,
    job: withStock(job, stock.with(index, { ...row, diameterMm: next })),
  };
}

/** How many of the strands are to be used; null: all of them. */
export function setStrandsToUse(job: Job, use: number | null): Edit {
  const next = use === null ? null : readWhole(use, 1, MOST_STRANDS, "strands to use");
  return {
    name: "Set the strands to use",
    job: { ...job, strands: { ...job.strands, use: next } },
    merge: "use",
  };
}

/** Another stock altogether, all of it to be used. */
export function takeStock(
  job: Job,
  stock: readonly { diameterMm: number; count: number }[],
  words: string,
): Edit {
  const rows = stock.map(({ diameterMm, count }) => ({
    diameterMm: diameterOf(diameterMm),
    count: countOf(count),
  }));
  const next = withStock(job, rows);
  return { name: `Take ${words}`, job: { ...next, strands: { ...next.strands, use: null } } };
}

function withStock(job: Job, stock: Strands["stock"]): Job {
  if (stock.every(({ count }) => count === 0)) {
    throw new Refusal("At least one strand has to be in stock.");
  }
  return { ...job, strands: { ...job.strands, stock } };
}

function rowAt(stock: Strands["stock"], index: number): Strands["stock"][number] {
  const row = stock[index];
  if (row === undefined) throw new Refusal("That strand is no longer in the stock.");
  return row;
}

function diameterOf(mm: number): number {
  if (!(mm >= DIAMETER_MM.min && mm <= DIAMETER_MM.max)) {
    throw new Refusal(`A strand is from ${DIAMETER_MM.min} to ${DIAMETER_MM.max} mm thick.`);
  }
  return toMm(Math.round(mm * UM_PER_MM));
}

const countOf = (count: number): number => readWhole(count, 0, MOST_STRANDS, "strands");

function refuseTwin(stock: Strands["stock"], diameterMm: number, except: number): void {
  if (stock.some((row, i) => i !== except && row.diameterMm === diameterMm)) {
    throw new Refusal(`There is a row for ${diameterMm} mm already. Change its count.`);
  }
}
