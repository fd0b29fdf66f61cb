import { LIMITS } from "../../../../job/limits.ts";
import type { Side } from "../../../../ceiling/flip.ts";
import { JobFaults } from "../../../../job/faults.ts";
import type { Job } from "../../../../job/schema.ts";
import { BAR_MM } from "../../../../sheets/bars.ts";
import { paperByName } from "../../../../sheets/papers.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";

/** What a printed bar may measure: farther off, something else is wrong than the printer. */
export const BAR_BOUNDS_MM = LIMITS.barMm;

export function setPaper(job: Job, name: string): Edit {
  try {
    const paper = paperByName(name).name;
    return { name: `Print on ${paper}`, job: withSheets(job, { paper }) };
  } catch (error) {
    if (error instanceof JobFaults) throw new Refusal(`There is no paper “${name}”.`);
    throw error;
  }
}

export type SidesChoice = "back" | "face" | "both";

export function sidesChoice(job: Job): SidesChoice {
  const { sides } = job.sheets;
  return sides.length > 1 ? "both" : (sides[0] ?? "back");
}

export function setSides(job: Job, choice: SidesChoice): Edit {
  const sides: Side[] = choice === "both" ? ["back", "face"] : [choice];
  return { name: "Choose the sides to print", job: withSheets(job, { sides }) };
}

/** FACE as one reduced sheet a tile, or at full size. */
export function setFace(job: Job, face: Job["sheets"]["face"]): Edit {
  return {
    name: face === "full" ? "Print faces at full size" : "Print faces as check sheets",
    job: withSheets(job, { face }),
  };
}

/** Sheets with three holes or fewer as lines of the coordinate list. */
export function setListFew(job: Job, few: boolean): Edit {
  return {
    name: few ? "List what few holes need" : "Print every sheet",
    job: withSheets(job, { listed: { ...job.sheets.listed, few } }),
  };
}

/** A whole tile as lines of the coordinate list, or back on sheets. */
export function setListed(job: Job, tile: string, on: boolean): Edit {
  const others = job.sheets.listed.tiles.filter((name) => name !== tile);
  return {
    name: on ? `List the holes of ${tile}` : `Print sheets of ${tile}`,
    job: withSheets(job, { listed: { ...job.sheets.listed, tiles: on ? [...others, tile] : others } }),
  };
}

/** What a title block holds besides firm, title and revision (ISO 7200). */
export type TitleField = "number" | "issuedOn" | "drawnBy" | "approvedBy";

export function setTitleField(job: Job, field: TitleField, words: string): Edit {
  const titleBlock = { ...job.sheets.titleBlock, [field]: words.trim().slice(0, 200) };
  return { name: "Write the title block", job: withSheets(job, { titleBlock }), merge: field };
}

/** The length of a printed bar of 150 mm as measured, across (x) or along (y) the sheet. */
export function setBar(job: Job, axis: "x" | "y", mm: number): Edit {
  if (!(mm >= BAR_BOUNDS_MM.min && mm <= BAR_BOUNDS_MM.max)) {
    throw new Refusal(`The bar of ${BAR_MM} mm can't have come out at ${mm} mm. Measure it again.`);
  }
  const key = axis === "x" ? "barXMm" : "barYMm";
  const bars = { ...job.sheets.printer, [key]: Math.round(mm * 100) / 100 };
  return {
    name: `Set the bar ${axis === "x" ? "across" : "along"}`,
    job: withSheets(job, { printer: bars }),
    merge: key,
  };
}

export function namePrinter(job: Job, name: string): Edit {
  return {
    name: "Name the printer",
    job: withSheets(job, { printer: { ...job.sheets.printer, name: name.trim().slice(0, 100) } }),
  };
}

/** Prints at true size again: another printer, or one that needs no correction. */
export function forgetPrinter(job: Job): Edit {
  const printer = { ...job.sheets.printer, name: "", barXMm: BAR_MM, barYMm: BAR_MM };
  return { name: "Forget the printer's measure", job: withSheets(job, { printer }) };
}

function withSheets(job: Job, change: Partial<Job["sheets"]>): Job {
  return { ...job, sheets: { ...job.sheets, ...change } };
}
