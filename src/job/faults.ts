import type { Code } from "./codes.ts";
import type { LengthUnits } from "./units.ts";

/** One thing wrong with a job or a file, said so that the person at the bench can mend it. */
export interface Fault {
  /** Where: a path inside the document such as `ceiling.noGo[2].circle.radiusMm`, or a file name. */
  path: string;
  /** What was expected there, in plain words. */
  expected: string;
  /** What was found, shortened. */
  got: string;
  /** What to do next. */
  next: string;
  /** The same for people who measure in feet, where it holds lengths. */
  inFeet?: Partial<Fault>;
}

/** The input is wrong: nothing was planned, nothing was written. Shells show every fault (exit 2). */
export class JobFaults extends Error {
  override name = "JobFaults";
  readonly faults: Fault[];
  constructor(faults: Fault[]) {
    super(faults.map((f) => `${f.path}: expected ${f.expected}, got ${f.got}. ${f.next}`).join("\n"));
    this.faults = faults;
  }
}

/** The input is sound, but what it asks for can't be done (exit 1): says what, why and what would help. */
export class CannotDo extends Error {
  override name = "CannotDo";
  readonly next: string;
  constructor(message: string, next: string) {
    super(message);
    this.next = next;
  }
}

/** A file that comes with the program is damaged or missing: nobody's job is wrong (exit 1). */
export class BrokenInstallation extends Error {
  override name = "BrokenInstallation";
  readonly next: string;
  constructor({ path, expected, got, next }: Fault) {
    super(`${path}: expected ${expected}, got ${got}. This file belongs to the program, not to your job.`);
    this.next = next;
  }
}

/** A plan was made, and a person should know this about it. */
export interface Warning {
  code: Code;
  message: string;
  inFeet?: { message: string };
  /** Where in the job it comes from, if anywhere. */
  path?: string;
}

/**
 * Warnings or faults as the people of a job measure. Each has its words with metric lengths and, where it holds lengths,
 * with feet and inches: what is made must not depend on the job's units.
 */
export const wordedIn = <T extends { inFeet?: object }>(units: LengthUnits, said: readonly T[]): T[] =>
  said.map((one) => {
    const { inFeet, ...metric } = one;
    return (units === "ft-in" ? { ...metric, ...inFeet } : metric) as T;
  });

/** The words of a warning or a fault in both. */
export const inBoth = <W extends object>(words: (units: LengthUnits) => W): W & { inFeet: W } => ({
  ...words("mm"),
  inFeet: words("ft-in"),
});
