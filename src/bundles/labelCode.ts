/** What the square code of a label says: enough to find job, tile and tail again, years later and offline. */
export interface LabelCode {
  /** `id` of the job, in capitals. */
  jobId: string;
  tile: string;
  /** Name of the tail, or "" on labels of a tile. */
  tail: string;
}

const HEAD = "VELARIUM";

/** Capitals, digits and colons alone: codes of such text are the smallest (ISO/IEC 18004, alphanumeric mode). */
export const labelCode = ({ jobId, tile, tail }: LabelCode): string =>
  [HEAD, jobId, tile, tail].join(":").toUpperCase().replace(/:$/, "");

/** Reads what was scanned or typed off a label; spaces and small letters are forgiven. null: no label of ours. */
export function readLabelCode(words: string): LabelCode | null {
  const found =
    /^VELARIUM:([^:]{1,64}):([A-Z]{1,3}\d{1,4}(?:-\d{1,3})?)(?::([A-Z]{1,2}-[A-Z0-9-]{2,12}))?$/.exec(
      words.replace(/\s/g, "").toUpperCase(),
    );
  return found && { jobId: found[1]!, tile: found[2]!, tail: found[3] ?? "" };
}

/** Whether a label belongs to a job. */
export const isOfJob = ({ jobId }: LabelCode, job: { id?: string | undefined }): boolean =>
  (job.id ?? "").toUpperCase() === jobId;
