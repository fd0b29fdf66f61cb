/** A job whose record is kept alike with other devices. */
export interface SharedJob {
  /** `id` of the job. */
  id: string;
  /** Where its design is changed: in the job kept here under this id, or elsewhere (""). */
  ours: string;
}

const KEY = "velarium.shared";

/** What this browser remembers of jobs that it shares; nothing where it refuses to remember. */
export function sharedJobs(): SharedJob[] {
  try {
    return JSON.parse(localStorage.getItem(KEY) ?? "[]") as SharedJob[];
  } catch {
    return [];
  }
}

export function rememberShared(job: SharedJob): void {
  write([job, ...sharedJobs().filter(({ id }) => id !== job.id)]);
}

export function forgetShared(id: string): void {
  write(sharedJobs().filter((job) => job.id !== id));
}

function write(jobs: SharedJob[]): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(jobs));
  } catch {
    // denied or full: the next start does not remember, and the code is scanned again
  }
}
