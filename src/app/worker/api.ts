import type { SharedOut } from "../../bundles/types.ts";
import type { Ceiling } from "../../ceiling/types.ts";
import type { Caution } from "../../job/cautions.ts";
import type { Fault, Warning } from "../../job/faults.ts";
import type { Job } from "../../job/schema.ts";
import type { Aim, Mix, Offer } from "../../pattern/advice.ts";
import type { Plan } from "../../plan.ts";
import type { Entry } from "../../record/entry.ts";
import type { WorkRecord } from "../../record/record.ts";
import type { Made } from "../../work/stage.ts";
import type { CrossingHoles } from "./packedHoles.ts";

/** Errors do not cross to the page as classes, so an answer carries them as data. */
export type Answer<T> =
  | { ok: true; value: T }
  /** The input is wrong. */
  | { ok: false; faults: Fault[] }
  /** The input is sound, what it asks for can't be done. */
  | { ok: false; cannot: { message: string; next: string } };

/** A file for the browser to hand over. */
export interface MadeFile {
  name: string;
  type: string;
  bytes: Uint8Array;
  /** What it could not show. */
  warnings: string[];
}

export interface ReadJob {
  job: Job;
  unknownKeys: string[];
  migrated: string[];
}

/** What can be said of a survey at once, while a thing is still being dragged. */
export interface SurveyResult {
  /** null where the faults leave no ceiling to draw. */
  ceiling: Ceiling | null;
  faults: Fault[];
  warnings: Warning[];
  cautions: Caution[];
}

/** A survey as it crosses: the ceiling is large, and undefined where whoever asks has it. */
export type Surveyed = Omit<SurveyResult, "ceiling"> & { ceiling: Ceiling | null | undefined };

/** What the page may ask of the worker. Parts add their own questions here and in core.worker.ts. */
export interface CoreApi {
  readJob(input: string | Uint8Array): Answer<ReadJob>;
  /** Another device's record of the job that `own` is the record of. `clock`: of times in it that can't be; "" for none. */
  readRecord(input: Uint8Array, own: WorkRecord): Answer<{ entries: readonly Entry[]; clock: string }>;
  /** Jobs kept by an older studio, with what has been added since; null where one can't be read any more. */
  refreshJobs(jobs: Job[]): (Job | null)[];
  /** `known`: whoever asks has this job's ceiling already. */
  survey(job: Job, known: boolean): Surveyed;
  /** Which strands to buy for the chosen sky. */
  advice(job: Job, offers: Offer[], aim: Aim): Promise<Answer<Mix[]>>;
}

/** Asks the page for what another worker makes. */
export interface AskPage {
  holes(job: Job, nightId: string): Promise<Answer<CrossingHoles>>;
  bundles(job: Job, nightId: string): Promise<Answer<Made["bundles"]>>;
}

/** A worker that is told, before anything else, whom to ask. */
export interface Meets {
  meet(page: AskPage): void;
}

/** What the page may ask of the worker that settles holes: a plan, and its pattern as the stage of the way that it is. */
export interface PlanApi {
  plan(job: Job, nightId: string): Promise<Answer<{ plan: Omit<Plan, "pattern">; holes: CrossingHoles }>>;
}

/** What the page may ask of the worker with the solver, which can't be interrupted but by ending it. */
export interface SolveApi extends Meets {
  solve(job: Job, nightId: string): Promise<Answer<SharedOut>>;
}
