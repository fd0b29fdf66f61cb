import { JobFaults } from "./faults.ts";
import type { Fault } from "./faults.ts";
import { shorten, unknownKeys } from "./documentSchema.ts";
import { withId } from "./identity.ts";
import { readJson } from "./json.ts";
import { migrate } from "./migrations.ts";
import { chosenFault, ruleFaults } from "./rules.ts";
import { JOB_FORMAT, JOB_VERSION, jobSchema } from "./schema.ts";
import type { Job } from "./schema.ts";
import { nightSchema } from "./sections/sky.ts";
import type { Night } from "./sections/sky.ts";
import { schemaFaults } from "./schemaFaults.ts";
import { withUsualPapers } from "./usualPapers.ts";

/** A document taken apart as far as it is sound, for checks that look at one part of it alone. */
export interface Examined {
  /** Complete with defaults, or null where the schema refuses something. */
  job: Job | null;
  /** Every part that is sound by itself. */
  parts: Partial<Job>;
  /** Every sky that is sound by itself, with its place in the document. */
  nights: { path: string; night: Night }[];
  /** Faults that need no sky, no ceiling and no catalogue to be seen. */
  faults: Fault[];
  /** Keys we don't know: kept, and worth telling (somebody else's, or misspelt). */
  unknownKeys: string[];
  /** Steps that carried an older document up to this version. */
  migrated: string[];
}

/**
 * Reads a job and finds every fault that the job part can see. `input` is the file's text or bytes (UTF-8,
 * with or without a byte order mark). Throws JobFaults only where nothing further can be examined: not
 * JSON, not a job, or made by a newer Velarium.
 */
export function examineJob(input: string | Uint8Array): Examined {
  const raw = envelope(readJson(input));
  const { document: carried, migrated } = migrate(raw, raw["version"] as number, JOB_VERSION);
  const document = withUsualPapers(carried);
  const result = jobSchema.safeParse(document);
  const faults = result.success ? [] : schemaFaults(document, result.error.issues);
  const job = result.success ? withId(result.data) : null;
  const parts = job ?? soundParts(document);
  return {
    job,
    parts,
    nights: soundNights(document),
    faults: [...faults, ...ruleFaults(parts), ...(parts.sky ? [] : chosenFaults(document["sky"]))],
    unknownKeys: unknownKeys(document),
    migrated,
  };
}

/** Reads a job; throws JobFaults with every fault the job part can see (`checkJob` sees more). */
export function readJob(
  input: string | Uint8Array,
): Pick<Examined, "unknownKeys" | "migrated"> & { job: Job } {
  const { job, faults, unknownKeys, migrated } = examineJob(input);
  if (faults.length > 0 || job === null) throw new JobFaults(faults);
  return { job, unknownKeys, migrated };
}

export { writeJob } from "./write.ts";

function envelope(raw: unknown): Record<string, unknown> {
  const refuse = (path: string, expected: string, got: unknown, next: string): never => {
    throw new JobFaults([{ path, expected, got: typeof got === "string" ? got : shorten(got), next }]);
  };
  if (typeof raw !== "object" || raw === null || Array.isArray(raw)) {
    return refuse("(whole file)", "a job: { }", raw, "Open a *.velarium.json file.");
  }
  const { format, version } = raw as Record<string, unknown>;
  if (format !== JOB_FORMAT) {
    return refuse(
      "format",
      JSON.stringify(JOB_FORMAT),
      shorten(format),
      "This is not a Velarium job; open another file.",
    );
  }
  if (typeof version !== "number" || !Number.isInteger(version) || version < 1) {
    return refuse(
      "version",
      `a whole number from 1 to ${JOB_VERSION}`,
      version,
      "Write the document's version.",
    );
  }
  if (version > JOB_VERSION) {
    return refuse(
      "version",
      `at most ${JOB_VERSION}`,
      `made by a newer Velarium: version ${version}`,
      "Open it with that newer Velarium. The file was not changed.",
    );
  }
  return raw as Record<string, unknown>;
}

function soundParts(document: Record<string, unknown>): Partial<Job> {
  const parts: Record<string, unknown> = {};
  for (const key of ["ceiling", "sky", "strands", "pattern", "sheets", "bundles"] as const) {
    const result = jobSchema.shape[key].safeParse(document[key]);
    if (result.success) parts[key] = result.data;
  }
  parts["ceiling"] ??= ceilingWithoutZones(document["ceiling"]);
  return parts as Partial<Job>;
}

/** One bad no-go zone must not hide what is wrong with the outline or the tiles. */
function ceilingWithoutZones(ceiling: unknown): Job["ceiling"] | undefined {
  if (typeof ceiling !== "object" || ceiling === null) return undefined;
  return jobSchema.shape.ceiling.safeParse({ ...ceiling, noGo: [] }).data;
}

/** Whether `sky.chosen` names a sky, where some sky is not sound. */
function chosenFaults(sky: unknown): Fault[] {
  const { chosen, options } = (sky ?? {}) as { chosen?: unknown; options?: unknown };
  if (typeof chosen !== "string" || !Array.isArray(options)) return [];
  const ids = options.map((option: { id?: unknown } | null) => option?.id);
  return chosenFault(
    chosen,
    ids.filter((id) => typeof id === "string"),
  );
}

function soundNights(document: Record<string, unknown>): Examined["nights"] {
  const options = (document["sky"] as { options?: unknown } | undefined)?.options;
  if (!Array.isArray(options)) return [];
  return options.flatMap((option, i) => {
    const result = nightSchema.safeParse(option);
    return result.success ? [{ path: `sky.options[${i}]`, night: result.data }] : [];
  });
}
