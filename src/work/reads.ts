import type { Job } from "../job/schema.ts";
import { choose, type Chosen, type Reads, type Stage, type StageName } from "./stage.ts";

const reads = <N extends StageName>(row: Reads<N>): Reads<N> => row;

/** Title block of every page. */
const names = (job: Job) => pick(job, "title", "client", "room", "firm", "revision", "units");
/** Paper shows the names, the survey with its cautions, the sky's title; drawn on the job's paper. */
const onPaper = ({ job, night }: Chosen) => ({
  ...names(job),
  ...pick(job, "ceiling", "strands", "pattern", "sheets", "bundles", "takeoff", "scene", "sky"),
  night,
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
  ceiling: reads({ needs: [], inputsOf: ({ job }) => pick(job, "ceiling") }),
  holes: reads({
    needs: ["sky", "ceiling"],
    inputsOf: ({ job, night }) => ({
      ...pick(job, "strands", "pattern"),
      night: pick(night, "view", "field"),
    }),
  }),
  /** Labels move no strand. */
  bundles: reads({ needs: UP_TO_HOLES, inputsOf: ({ job }) => ({ bundles: omit(job.bundles, "labels") }) }),
  takeoff: reads({
    needs: UP_TO_BUNDLES,
    inputsOf: ({ job }) => ({
      ...pick(job, "takeoff"),
      bundles: pick(job.bundles, "labels"),
      scene: pick(job.scene, "lengthM"),
    }),
  }),
};

/** What is printed, drawn or told: made anew each time it is asked for. */
const PRINTS = {
  /** Everything that `velarium plan` writes. */
  plan: reads({ needs: UP_TO_BUNDLES, inputsOf: onPaper }),
  /** Templates and overview alone. */
  sheets: reads({ needs: UP_TO_BUNDLES, inputsOf: onPaper }),
  /** What `velarium bundles` writes: strands, tails, labels. */
  bundleFiles: reads({ needs: UP_TO_BUNDLES, inputsOf: onPaper }),
  /** Order and quote. */
  order: reads({ needs: UP_TO_TAKEOFF, inputsOf: onPaper }),
  /** The van's and the client's pack, labels, tables. */
  pack: reads({ needs: UP_TO_TAKEOFF, inputsOf: onPaper }),
  /** The page a client signs. What is signed is what will shine: strands may have been exchanged, some have no engine. */
  skySheet: reads({
    needs: UP_TO_HOLES,
    alsoNeeds: onceShared,
    inputsOf: onPaper,
  }),
  /** The plan with the lengths of its strands, for several pictures at once. */
  lit: reads({ needs: UP_TO_BUNDLES, inputsOf: onPaper }),
  /** The ceiling in the dark, from a seat. */
  scene: reads({ needs: UP_TO_BUNDLES, inputsOf: onPaper }),
  /** The real sky on the same patch. */
  sceneOfSky: reads({ needs: UP_TO_HOLES, inputsOf: onPaper }),
  /** The ceiling by day: a strand is a speck, however long it is. */
  sceneByDay: reads({ needs: UP_TO_HOLES, inputsOf: onPaper }),
  /** Figures and names to lay over a picture. */
  overlay: reads({ needs: UP_TO_HOLES, alsoNeeds: onceShared, inputsOf: onPaper }),
  /** What decides between nights. */
  facts: reads({ needs: UP_TO_HOLES, alsoNeeds: onceShared, inputsOf: onPaper }),
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

/** A row of the other half, its types told by what it is made of. */
export const row = <R extends RowName, Loaded, Value, How = void>(
  _: R,
  stage: Stage<NeedsOf<R>, Loaded, Value, How>,
): Stage<NeedsOf<R>, Loaded, Value, How> => stage;

/** The object without some of its keys. */
function omit<T extends object>(object: T, ...keys: (keyof T)[]): T {
  const rest = { ...object };
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
