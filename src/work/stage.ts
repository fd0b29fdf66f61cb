import { needsDeepCatalog } from "../catalogDepth.ts";
import type { SharedOut } from "../bundles/types.ts";
import type { Ceiling } from "../ceiling/types.ts";
import type { FontBytes } from "../drawing/typeface.ts";
import { JobFaults } from "../job/faults.ts";
import type { Warning } from "../job/faults.ts";
import type { Instead } from "../issue/keep.ts";
import type { Job } from "../job/schema.ts";
import type { Night } from "../job/sections/sky.ts";
import type { Plan, Planned } from "../plan.ts";
import type { Catalog, SkyFrame } from "../sky/types.ts";
import type { Takeoff } from "../takeoff/types.ts";

/** A job with the one of its skies that is to be put on the ceiling: what every stage reads. */
export interface Chosen {
  job: Job;
  night: Night;
  /** Where in the job that sky stands, for faults and warnings. */
  at: string;
}

/** What the stages make that is remembered, in the order of the way. */
export interface Made {
  sky: SkyFrame;
  ceiling: Ceiling;
  holes: Pick<Plan, "projection" | "pattern"> & {
    /** Stars of the sky on the ceiling, and how faint the catalogue goes. */
    stars: number;
    faintest: number;
    /** What issued tiles would be instead by the job as it is now. */
    instead: Instead[];
  };
  bundles: SharedOut;
  takeoff: Takeoff;
}
export type StageName = keyof Made;

/** Shares tiles out to engines; may take seconds, and may do it elsewhere. */
export type Sharer = (planned: Planned, catalog: Catalog) => SharedOut | Promise<SharedOut>;

/** What the way needs of the shell it runs in. Each is asked for ahead of time, and only where it is needed. */
export interface Tools {
  /** The catalogue; deep where the compact one may run out. */
  catalog(deep: boolean): Promise<Catalog>;
  sharer(job: Job): Promise<Sharer>;
  /** With what further fonts the words of the job need. */
  fonts(job: Job): Promise<FontBytes>;
  /** Stages that somebody else makes for this way, once for all who go it. */
  elsewhere?: { [N in StageName]?: (chosen: Chosen) => Promise<Made[N]> };
}

/** What a stage is made from: the job, what the stages before it made, and what each of them has to say. */
export type Given<N extends StageName> = Chosen &
  Pick<Made, N> &
  Partial<Made> & {
    warnings: Said;
    /** Called often while something long is made; may throw to give it up. */
    stop?: () => void;
  };
/** What a person should know, by stage; `job` is about the document itself. */
export type Said = Partial<Record<"job" | StageName, Warning[]>>;

/** What a stage, or a printed thing, comes from. */
export interface Reads<N extends StageName> {
  /** The stages whose results it takes, in the order of the way. */
  needs: readonly N[];
  /** Stages that it takes only for some jobs. */
  alsoNeeds?(chosen: Chosen): StageName[];
  /**
   * All that it reads of the job beside what it needs, in the job's own shape, the chosen sky as `night`. Whether
   * something must be made anew, or is stale, is told by this alone; a test proves that nothing else is read.
   */
  inputsOf(chosen: Chosen): object;
}

/** How it is made. `How` is what a printed thing is asked for with, as which tile. */
export interface Stage<N extends StageName, Loaded, Value, How> {
  /** What is being done, for whoever waits. */
  words: string;
  /** What takes long to load: begun ahead, while the stages before are being made; quick the second time. */
  load(tools: Tools, chosen: Chosen): Loaded | Promise<Loaded>;
  make(given: Given<N>, loaded: Loaded, how: How): Value;
  /** What a person should know about the result. */
  warnings?(given: Chosen & Pick<Made, N>, value: Awaited<Value>): Warning[];
}

/** A job with the sky that `sky.chosen`, or `nightId`, names. Throws JobFaults where there is none. */
export function choose(job: Job, nightId = job.sky.chosen): Chosen {
  const index = job.sky.options.findIndex((option) => option.id === nightId);
  const night = job.sky.options[index];
  if (night) return { job, night, at: `sky.options[${index}]` };
  const ids = job.sky.options.map((option) => option.id).join(", ");
  throw new JobFaults([
    { path: "sky.chosen", expected: `one of ${ids}`, got: nightId, next: "Choose one of these nights." },
  ]);
}

/** What was made of a job as far as its holes; where strands were exchanged for length, as they are punched. */
export function planOf({ sky, ceiling, holes, bundles, warnings }: Given<"sky" | "ceiling" | "holes">): Plan {
  return {
    frame: sky,
    ceiling,
    projection: holes.projection,
    pattern: bundles?.holes ? { ...holes.pattern, holes: bundles.holes } : holes.pattern,
    warnings: said(warnings, "job", "sky", "ceiling", "holes"),
  };
}

/** The same together with its job. */
export function planned(given: Given<"sky" | "ceiling" | "holes">): Planned {
  return { ...planOf(given), job: given.job, night: given.night };
}

/** What some stages have to say, all of them by default, in the order of the way. */
export function said(warnings: Said, ...of: readonly (keyof Said)[]): Warning[] {
  const names = of.length > 0 ? of : (Object.keys(warnings) as (keyof Said)[]);
  return names.flatMap((name) => warnings[name] ?? []);
}

/** The catalogue as deep as these skies on their ceilings need it. */
export function catalogFor(tools: Tools, ...skies: readonly Chosen[]): Promise<Catalog> {
  return tools.catalog(skies.some(({ job, night }) => needsDeepCatalog(job, night)));
}
