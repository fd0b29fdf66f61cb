import { readFile, stat } from "node:fs/promises";
import { JobFaults } from "../job/faults.ts";
import { MAX_JOB_BYTES, tooLarge } from "../job/json.ts";

/** The bytes of a job file. Throws JobFaults where there is none to read. */
export async function readJobFile(path: string): Promise<Uint8Array> {
  const refuse = (got: string): never => {
    throw new JobFaults([
      {
        path,
        expected: "a job file that can be read",
        got,
        next: "Check the name; `velarium new` makes a job.",
      },
    ]);
  };
  try {
    const facts = await stat(path);
    if (facts.isDirectory()) refuse("a folder");
    if (facts.size > MAX_JOB_BYTES) throw tooLarge(facts.size);
    return await readFile(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT" || code === "ENOTDIR") return refuse("no such file");
    if (code === "EACCES" || code === "EPERM") return refuse("no permission to read it");
    throw error;
  }
}
