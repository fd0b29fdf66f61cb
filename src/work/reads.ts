import type { Job } from "../job/schema.ts";
import { choose, type Chosen, type Reads, type Stage, type StageName } from "./stage.ts";

const reads = <N extends StageName>(row: Reads<N>): Reads<N> => row;

/** Printed on every page. */
const names = (job: Job) => pick(job, "title", "client", "room", "firm", "revision", "units");

/** Cautions name the rules of the region, told by the zone of the chosen sky. */
const region = ({ sky: { chosen, options } }: Job) => ({
  sky: {
    chosen,
    options: options.map(({ id, moment }) => ({ id, moment: pick(moment as { zone?: string }, "zone") })),
  },
});

/** A picture is asked for from a seat, and dimmed while it is looked at. */
const pictured = ({ job }: Chosen) => ({
  scene: omit(job.scene, "dimmer", "seats"),
  strands: pick(job.strands, "numericalAperture"),
});

/** Where there are engines, what they light tells what shines. */
const onceShared = ({ job }: Chosen): StageName[] => (job.bundles.engines.length > 0 ? ["bundles"] : []);

const UP_TO_HOLES = ["sky", "ceiling", "holes"] as const;
const UP_TO_BUNDLES = [...UP_TO_HOLES, "bundles"] as const;
const UP_TO_TAKEOFF = [...UP_TO_BUNDLES, "takeoff"] as const;

/** What is remembered, in the order of the way. */
const STAGES = {
  sky: reads({
    needs: [],
    inputsOf: ({ night }) => ({
      night: pick(night, "place", "moment", "refraction", "extinction", "bodies"),
    }),
  }),
  /** An issued tile keeps the edges it was issued with, its holes, its strands. */
  ceiling: reads({ needs: [], inputsOf: ({ job }) => pick(job, "ceiling", "issued") }),
  holes: reads({
    needs: ["sky", "ceiling"],
    inputsOf: ({ job, night }) => ({
      strands: omit(job.strands, "lossDbPerM", "numericalAperture"),
      ...pick(job, "pattern", "issued"),
      night: pick(night, "id", "view", "field", "figures"),
    }),
  }),
  /** Labels move no strand. */
  bundles: reads({
    needs: UP_TO_HOLES,
    inputsOf: ({ job }) => ({
      bundles: omit(job.bundles, "labels"),
      strands: pick(job.strands, "lossDbPerM"),
      ...pick(job, "issued"),
    }),
  }),
  takeoff: reads({
    needs: UP_TO_BUNDLES,
    inputsOf: ({ job }) => ({
      ...pick(job, "takeoff", "units"),
      // hours and order follow how many sheets are printed
      sheets: pick(job.sheets, "paper", "printer", "sides", "face", "listed"),
      bundles: pick(job.bundles, "labels"),
      scene: pick(job.scene, "lengthM"),
    }),
  }),
} satisfies Record<StageName, object>;

/** What is printed, drawn or told: made anew each time it is asked for. */
const PRINTS = {
  /** Everything that `velarium plan` writes. */
  plan: reads({
    needs: UP_TO_BUNDLES,
    inputsOf: ({ job, night }) => ({
      ...names(job),
      ...region(job),
      ...pick(job, "sheets"),
      night: pick(night, "id", "title"),
    }),
  }),
  /** Templates and overview alone. */
  sheets: reads({
    needs: UP_TO_BUNDLES,
    inputsOf: ({ job, night }) => ({
      ...names(job),
      ...region(job),
      ...pick(job, "sheets"),
      night: pick(night, "title"),
    }),
  }),
  /** What `velarium bundles` writes: strands, tails, labels. */
  bundleFiles: reads({
    needs: UP_TO_BUNDLES,
    inputsOf: ({ job }) => ({
      ...names(job),
      // each label's square code says which job it is of
      ...pick(job, "id"),
      bundles: pick(job.bundles, "labels"),
      takeoff: pick(job.takeoff, "spareStrandsPerTile"),
    }),
  }),
  /** Order and quote. */
  order: reads({
    needs: UP_TO_TAKEOFF,
    inputsOf: ({ job, night }) => ({
      ...names(job),
      ...pick(job, "firmAddress", "firmTaxNumber", "firmLogo", "sheets"),
      night: pick(night, "title"),
    }),
  }),
  /** The van's and the client's pack, labels, tables. */
  pack: reads({
    needs: UP_TO_TAKEOFF,
    inputsOf: ({ job, night }) => ({
      ...names(job),
      ...region(job),
      ...pick(job, "id", "firmAddress", "firmLogo", "sheets", "scene"),
      bundles: pick(job.bundles, "labels"),
      strands: pick(job.strands, "numericalAperture"),
      night: pick(night, "title"),
    }),
  }),
  /** The page a client signs. What is signed is what will shine: strands may have been exchanged, some have no engine. */
  skySheet: reads({
    needs: UP_TO_HOLES,
    alsoNeeds: onceShared,
    inputsOf: ({ job, night }) => ({ ...names(job), night: pick(night, "title") }),
  }),
  /** The plan with the lengths of its strands, for several pictures at once. */
  lit: reads({ needs: UP_TO_BUNDLES, inputsOf: () => ({}) }),
  /** The ceiling in the dark, from a seat. */
  scene: reads({ needs: UP_TO_BUNDLES, inputsOf: pictured }),
  /** The real sky on the same patch. */
  sceneOfSky: reads({ needs: UP_TO_HOLES, inputsOf: pictured }),
  /** The ceiling by day: a strand is a speck, however long it is. */
  sceneByDay: reads({ needs: UP_TO_HOLES, inputsOf: pictured }),
  /** Figures and names to lay over a picture. */
  overlay: reads({ needs: UP_TO_HOLES, alsoNeeds: onceShared, inputsOf: () => ({}) }),
  /** Which strands to buy. */
  advice: reads({
    needs: ["sky", "ceiling"],
    inputsOf: ({ job, night }) => ({
      ...pick(job, "strands"),
      pattern: pick(job.pattern, "deeperShare", "faintestMagnitude"),
      night: pick(night, "view", "field", "figures"),
    }),
  }),
  /** What decides between nights. */
  facts: reads({
    needs: UP_TO_HOLES,
    alsoNeeds: onceShared,
    inputsOf: ({ job, night }) => ({ night: pick(night, "title"), scene: pick(job.scene, "seats") }),
  }),
};

/**
 * What each stage and each printed thing comes from: the left half of the table, light enough for a page that only
 * wants to know what has changed. `table.ts` says how they are made.
 */
export const READS = { ...STAGES, ...PRINTS };

export type RowName = keyof typeof READS;
export type PrintName = Exclude<RowName, StageName>;
/** The stages that a row takes in any case. */
export type NeedsOf<R extends RowName> = (typeof READS)[R]["needs"][number];

const ROWS: Record<RowName, Reads<StageName>> = READS;
const NAMES = Object.keys(READS) as RowName[];

/** The stages that a row takes, itself among them if it is one, in the order of the way. */
export function stagesOf(chosen: Chosen, name: RowName): StageName[] {
  const { needs, alsoNeeds } = ROWS[name];
  const wanted = new Set<RowName>([name, ...needs, ...(alsoNeeds?.(chosen) ?? [])]);
  return NAMES.filter((one): one is StageName => wanted.has(one) && one in STAGES);
}

/** Jobs are never changed in place, so that a key is worked out once. */
const known = new WeakMap<Job, Map<string, string>>();

/** All that a stage or a printed thing depends on, as words: another key, and it has to be made anew. */
export function keyOf(chosen: Chosen, name: RowName): string {
  let keys = known.get(chosen.job);
  if (!keys) known.set(chosen.job, (keys = new Map<string, string>()));
  const asked = `${name} ${chosen.night.id}`;
  let key = keys.get(asked);
  if (key === undefined) {
    const rows = new Set<RowName>([...stagesOf(chosen, name), name]);
    key = `${name} ${JSON.stringify([...rows].map((one) => ROWS[one].inputsOf(chosen)))}`;
    keys.set(asked, key);
  }
  return key;
}

/** Whether a stage or a printed thing of one job is as well that of another. Skies are those that the jobs choose. */
export function same(name: RowName, before: Job, after: Job): boolean {
  return before === after || keyOf(choose(before), name) === keyOf(choose(after), name);
}

/**
 * What of all that a printed thing depends on differs between two jobs: "title", or "ceiling.noGo" where only
 * some keys of a section are read, or a section has several.
 */
export function changedInputs(name: RowName, before: Chosen, after: Chosen): string[] {
  const rows = new Set<RowName>([...stagesOf(before, name), ...stagesOf(after, name), name]);
  const paths = [...rows].flatMap((row) =>
    differences(ROWS[row].inputsOf(before), ROWS[row].inputsOf(after)).flatMap(([key, a, b]) =>
      isSection(a) && isSection(b) ? differences(a, b).map(([inner]) => `${key}.${inner}`) : [key],
    ),
  );
  return [...new Set(paths)];
}

const isSection = (value: unknown): value is object =>
  typeof value === "object" && value !== null && !Array.isArray(value);

function differences(before: object, after: object): [key: string, before: unknown, after: unknown][] {
  const [a, b] = [before, after] as Record<string, unknown>[];
  return Object.keys({ ...before, ...after }).flatMap((key) =>
    a![key] === b![key] || JSON.stringify(a![key]) === JSON.stringify(b![key])
      ? []
      : [[key, a![key], b![key]] as [string, unknown, unknown]],
  );
}

/** A row of the other half, its types told by what it is made of. */
export const row = <R extends RowName, Loaded, Value, How = void>(
  _: R,
  stage: Stage<NeedsOf<R>, Loaded, Value, How>,
): Stage<NeedsOf<R>, Loaded, Value, How> => stage;

/** The object without some of its keys. */
function omit<T extends object>(object: T, ...keys: (keyof T)[]): Partial<T> {
  const rest: Partial<T> = { ...object };
  for (const key of keys) delete rest[key];
  return rest;
}

/** Some keys of an object; those it lacks are left out. */
function pick<T extends object, K extends keyof T>(object: T, ...keys: K[]): Pick<T, K> {
  return Object.fromEntries(keys.filter((key) => key in object).map((key) => [key, object[key]])) as Pick<
    T,
    K
  >;
}
