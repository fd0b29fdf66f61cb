import { open } from "node:fs/promises";
import { JobFaults } from "../job/faults.ts";
import { MAX_JOB_BYTES, tooLarge } from "../job/json.ts";

/** Why the system gives no job, in words. */
const REFUSALS: Record<string, string> = {
  ENOENT: "no such file",
  ENOTDIR: "no such file",
  EACCES: "no permission to read it",
  EPERM: "no permission to read it",
  EISDIR: "a folder",
  ELOOP: "links that lead round in a circle",
  EIO: "an error of the disk",
};

/** The bytes of a job file; see `readInput`. */
export const readJobFile = (path: string): Promise<Uint8Array> =>
  readInput(path, "a job file that can be read", "Check the name; `velarium new` makes a job.");

/**
 * The bytes of a file of ours. A pipe is read too; nothing is read beyond the size that a job may have, so that an
 * endless file is refused like a large one. Throws JobFaults where there is none to read.
 */
export async function readInput(
  path: string,
  expected: string,
  next: string,
  whereTooLarge?: string,
): Promise<Uint8Array> {
  try {
    const file = await open(path);
    try {
      const { size } = await file.stat();
      if (size > MAX_JOB_BYTES) throw tooLarge(size, whereTooLarge);
      const chunks: Uint8Array[] = [];
      let read = 0;
      for await (const chunk of file.createReadStream({ autoClose: false }) as AsyncIterable<Uint8Array>) {
        chunks.push(chunk);
        read += chunk.length;
        if (read > MAX_JOB_BYTES) throw tooLarge(read, whereTooLarge);
      }
      return Buffer.concat(chunks);
    } finally {
      await file.close();
    }
  } catch (error) {
    const { code, syscall } = error as NodeJS.ErrnoException;
    if (code === undefined || syscall === undefined) throw error;
    throw new JobFaults([
      {
        path,
        expected,
        got: REFUSALS[code] ?? `refused by the system (${syscall}: ${code})`,
        next,
      },
    ]);
  }
}
