import { COMMON_PRACTICE } from "../../../../trade/fact.ts";
import { FACTS } from "../../../../trade/facts.ts";
import { PILE_WORDS } from "../../../../job/codeWords.ts";
import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";
import { bounds, type Bounds, within } from "../../../state/commands/numbers.ts";

type Section = Job["takeoff"];
type Grid = Section["grid"];
type Rates = Section["rates"];

const size = (words: string): Bounds => bounds(words, LIMITS.sizeMm);
const distance = (words: string): Bounds => bounds(words, LIMITS.distanceMm);
const kg = (words: string): Bounds => bounds(words, LIMITS.kgPerM2);
const part = (words: string): Bounds => bounds(words, LIMITS.share, 4);

/** What each number of the takeoff may be, as the job document has it. */
export const FABRIC_NUMBERS = {
  rollWidthMm: size("roll's width"),
  selvedgeMm: distance("selvedge"),
  wrapMm: distance("wrap"),
  waste: part("share of waste"),
  spareBlanks: bounds("number of spare blanks", LIMITS.spareBlanks),
  kgPerM2: kg("fabric's weight"),
} satisfies Record<string, Bounds>;

export const GRID_NUMBERS = {
  mainSpacingMm: size("spacing of main runners"),
  tileKgPerM2: kg("tile's weight"),
  adhesiveKgPerM2: kg("adhesive's weight"),
} satisfies Record<string, Bounds>;

export const MATERIAL_NUMBERS = {
  sprayM2PerCan: bounds("area for a can", LIMITS.sprayM2PerCan, 2),
  strandsPerGlueStick: bounds("number of strands for a stick", LIMITS.strandsPerGlueStick, 0),
  stapleSpacingMm: size("staple spacing"),
  strandWaste: part("share of strand wasted"),
  spareStrandsPerTile: bounds("number of spare strands", LIMITS.spareStrands),
} satisfies Record<string, Bounds>;

const rate = (words: string): Bounds => bounds(words, LIMITS.rate, 2);
export const RATE_NUMBERS = {
  surveyH: rate("survey rate"),
  takeDownTilesPerH: rate("taking-down rate"),
  cleanTilesPerH: rate("cleaning rate"),
  wrapTilesPerH: rate("wrapping rate alone"),
  wrapTilesPerHTwo: rate("wrapping rate of two"),
  templateMinPerTile: rate("template rate"),
  templateMinPerSheet: rate("rate of template sheets"),
  listedMinPerHole: rate("rate of listed holes"),
  pokeHolesPerH: rate("punching rate"),
  threadStrandsPerH: rate("threading rate"),
  glueDotsPerH: rate("glueing rate"),
  labelMinPerTile: rate("labelling rate"),
  portH: rate("hours for a port"),
  portSPerStrand: rate("seconds for a strand at the port"),
  rehangTilesPerH: rate("re-hanging rate"),
  snipEndsPerH: rate("snipping rate"),
  darkTestH: rate("hours for the dark test"),
  revisited: part("share of strands revisited"),
} satisfies Partial<Record<keyof Rates, Bounds>>;

const withTakeoff = (job: Job, change: Partial<Section>): Job => ({
  ...job,
  takeoff: { ...job.takeoff, ...change },
});

export function setFabric(job: Job, key: keyof typeof FABRIC_NUMBERS, value: number): Edit {
  const next = within(FABRIC_NUMBERS[key], value);
  const fabric = { ...job.takeoff.fabric, [key]: next };
  return { name: `Set the ${FABRIC_NUMBERS[key].words}`, job: withTakeoff(job, { fabric }), merge: key };
}

export function describeFabric(job: Job, details: Partial<Pick<Section["fabric"], "name" | "pile">>): Edit {
  const fabric = { ...job.takeoff.fabric, ...details };
  const name =
    details.pile === undefined ? "Name the fabric" : `Let the pile run ${PILE_WORDS[details.pile]}`;
  return { name, job: withTakeoff(job, { fabric }) };
}

/** What somebody measures on the grid, else a usual value is assumed. */
export type Measurable = Grid["measured"][number];

/** The value as measured; null while it is only assumed. */
export const measuredLoad = (grid: Grid, key: Measurable): number | null =>
  grid.measured.includes(key) || grid[key] !== FACTS[key].value ? grid[key] : null;

/** Takes a number as measured, whatever it is; null: not measured, and the usual one is assumed again. */
export function setMeasuredLoad(job: Job, key: Measurable, value: number | null): Edit {
  const edit = setGridLoad(job, key, value ?? FACTS[key].value);
  const { grid } = edit.job.takeoff;
  const others = grid.measured.filter((each) => each !== key);
  const measured = value === null ? others : [...others, key];
  return { ...edit, job: withTakeoff(edit.job, { grid: { ...grid, measured } }) };
}

export function setGridLoad(job: Job, key: keyof typeof GRID_NUMBERS, value: number): Edit {
  const grid = { ...job.takeoff.grid, [key]: within(GRID_NUMBERS[key], value) };
  return { name: `Set the ${GRID_NUMBERS[key].words}`, job: withTakeoff(job, { grid }), merge: key };
}

export function setLoadClass(job: Job, loadClass: Grid["loadClass"]): Edit {
  const grid = { ...job.takeoff.grid, loadClass };
  return { name: "Set the grid's load class", job: withTakeoff(job, { grid }) };
}

export function setMaterial(job: Job, key: keyof typeof MATERIAL_NUMBERS, value: number): Edit {
  const bounds = MATERIAL_NUMBERS[key];
  return {
    name: `Set the ${bounds.words}`,
    job: withTakeoff(job, { [key]: within(bounds, value) }),
    merge: key,
  };
}

export function setFrame(job: Job, frame: boolean): Edit {
  return { name: frame ? "Staple the wrap" : "Glue the wrap", job: withTakeoff(job, { frame }) };
}

export function setPeople(job: Job, people: Section["people"]): Edit {
  return { name: people === 1 ? "One person" : "Two people", job: withTakeoff(job, { people }) };
}

/** A rate of one's own; from then on the rates are no longer common practice alone. */
export function setRate(job: Job, key: keyof typeof RATE_NUMBERS, value: number): Edit {
  const rates = { ...job.takeoff.rates, [key]: within(RATE_NUMBERS[key], value) };
  return { name: `Set the ${RATE_NUMBERS[key].words}`, job: withTakeoff(job, { rates }), merge: key };
}

/** Where the rates come from, printed beside the hours. */
export function sourceRates(job: Job, source: string): Edit {
  if (source.trim() === "") throw new Refusal("Say where the rates come from, if only “our own”.");
  const said = source.trim().slice(0, 200);
  const rates = { ...job.takeoff.rates, source: said === COMMON_PRACTICE ? "" : said };
  return { name: "Say where the rates come from", job: withTakeoff(job, { rates }) };
}
