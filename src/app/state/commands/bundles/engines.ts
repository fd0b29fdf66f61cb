import { LIMITS, MAX_LENGTH_MM } from "../../../../job/limits.ts";
import type { PointMm } from "../../../../geometry/types.ts";
import type { Job } from "../../../../job/schema.ts";
import { ENGINE_DEFAULTS } from "../../../../job/sections/engineDefaults.ts";
import type { EngineEntry } from "../../../../job/sections/bundles.ts";
import { type Edit, Refusal } from "../../edit.ts";
import { bounds, type Bounds, within } from "../numbers.ts";
import { tidy } from "../shiftRoom.ts";

type Section = Job["bundles"];
const MOST_ENGINES = 60;

/** What each number of an engine may be, as the job document has it. */
export const ENGINE_NUMBERS = {
  portDiameterMm: bounds("port's diameter", LIMITS.sizeMm, 2),
  capacity: bounds("capacity", LIMITS.engineStrands),
  reachM: bounds("reach", LIMITS.strandM, 2),
} satisfies Record<string, Bounds>;

export function withBundles(job: Job, change: Partial<Section>): Job {
  return { ...job, bundles: { ...job.bundles, ...change } };
}

/** The first letter that no engine has. */
export function freeLetter({ engines }: Section): string {
  const taken = new Set(engines.map(({ letter }) => letter));
  for (let n = 0; n < 26 * 27; n++) {
    const letter = letterOf(n);
    if (!taken.has(letter)) return letter;
  }
  throw new Refusal("Every letter is taken.");
}

function letterOf(n: number): string {
  const last = String.fromCharCode(65 + (n % 26));
  return n < 26 ? last : letterOf(Math.floor(n / 26) - 1) + last;
}

/** A new engine where it was put down; the rest as the engine before it, or as the document's defaults. */
export function addEngine(job: Job, atMm: PointMm): Edit {
  const { engines } = job.bundles;
  if (engines.length >= MOST_ENGINES) throw new Refusal(`At most ${MOST_ENGINES} engines.`);
  const like = engines.at(-1);
  const engine: EngineEntry = {
    letter: freeLetter(job.bundles),
    name: "",
    atMm: pointOf(atMm),
    place: like?.place ?? "closet",
    heightMm: like?.heightMm ?? null,
    portDiameterMm: like?.portDiameterMm ?? ENGINE_DEFAULTS.portDiameterMm,
    capacity: like?.capacity ?? ENGINE_DEFAULTS.capacity,
    watts: like?.watts ?? null,
    reachM: like?.reachM ?? ENGINE_DEFAULTS.reachM,
  };
  return { name: `Add engine ${engine.letter}`, job: withBundles(job, { engines: [...engines, engine] }) };
}

/** What an engine draws; null where its plate was not read. */
export function setEngineWatts(job: Job, index: number, watts: number | null): Edit {
  const engine = { ...engineAt(job, index), watts };
  return { name: `Set power of engine ${engine.letter}`, job: withEngine(job, index, engine) };
}

export function moveEngine(job: Job, index: number, atMm: PointMm): Edit {
  const engine = { ...engineAt(job, index), atMm: pointOf(atMm) };
  return {
    name: `Move engine ${engine.letter}`,
    job: withEngine(job, index, engine),
    merge: `engine ${index}`,
  };
}

export type EngineDetails = Partial<Pick<EngineEntry, "name" | "place" | "heightMm">>;

export function describeEngine(job: Job, index: number, details: EngineDetails): Edit {
  const engine = engineAt(job, index);
  const { heightMm } = details;
  if (heightMm != null && !(heightMm >= 0 && heightMm <= MAX_LENGTH_MM))
    throw new Refusal("The port's height above the floor goes from 0 to 60 m.");
  return {
    name: `Change engine ${engine.letter}`,
    job: withEngine(job, index, { ...engine, ...details }),
  };
}

export function setEngineNumber(
  job: Job,
  index: number,
  key: keyof typeof ENGINE_NUMBERS,
  value: number,
): Edit {
  const engine = engineAt(job, index);
  const bounds = ENGINE_NUMBERS[key];
  return {
    name: `Set the ${bounds.words} of engine ${engine.letter}`,
    job: withEngine(job, index, { ...engine, [key]: within(bounds, value) }),
    merge: `${key} ${index}`,
  };
}

/** Another letter: kits and fixed tiles go with it. */
export function letterEngine(job: Job, index: number, typed: string): Edit {
  const engine = engineAt(job, index);
  const letter = typed.trim().toUpperCase();
  if (!/^[A-Z]{1,2}$/.test(letter)) throw new Refusal("An engine is called by one or two letters: A, B, AA.");
  const { engines, kits, fixed } = job.bundles;
  if (engines.some((other, i) => i !== index && other.letter === letter))
    throw new Refusal(`There is an engine ${letter} already.`);
  const renamed = (now: string) => (now === engine.letter ? letter : now);
  return {
    name: `Call engine ${engine.letter} ${letter}`,
    job: withBundles(job, {
      engines: engines.with(index, { ...engine, letter }),
      kits: kits.map((kit) => ({ ...kit, engine: renamed(kit.engine) })),
      fixed: Object.fromEntries(Object.entries(fixed).map(([tile, of]) => [tile, renamed(of)])),
    }),
  };
}

/** Takes an engine away, with its kit; tiles fixed to it are free again. */
export function removeEngine(job: Job, index: number): Edit {
  const { letter } = engineAt(job, index);
  const { engines, kits, fixed } = job.bundles;
  return {
    name: `Remove engine ${letter}`,
    job: withBundles(job, {
      engines: engines.toSpliced(index, 1),
      kits: kits.filter((kit) => kit.engine !== letter),
      fixed: Object.fromEntries(Object.entries(fixed).filter(([, of]) => of !== letter)),
    }),
  };
}

export function engineAt(job: Job, index: number): EngineEntry {
  const engine = job.bundles.engines[index];
  if (engine === undefined) throw new Refusal("That engine is no longer in the job.");
  return engine;
}

function withEngine(job: Job, index: number, engine: EngineEntry): Job {
  return withBundles(job, { engines: job.bundles.engines.with(index, engine) });
}

function pointOf([x, y]: PointMm): PointMm {
  if (Math.abs(x) > MAX_LENGTH_MM || Math.abs(y) > MAX_LENGTH_MM)
    throw new Refusal("That is more than 60 m from the plan's corner.");
  return [tidy(x), tidy(y)];
}
