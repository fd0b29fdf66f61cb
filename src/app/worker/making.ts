import { transfer } from "comlink";
import { answer } from "./answer.ts";
import type { Answer, MadeFile } from "./api.ts";

/** A file asked for, or the word that it was stopped. */
export type Made = Answer<MadeFile> | { ok: false; stopped: true };

/** How a file is made that may be stopped between pages. */
export interface Stoppable {
  onProgress: (done: number, total: number) => Promise<void>;
  signal: AbortSignal;
}

let stopping: AbortController | null = null;

/** Lets messages in, so that making can be told to stop. */
const breathe = (): Promise<void> => new Promise((done) => setTimeout(done));

export function stopMaking(): void {
  stopping?.abort();
}

/** Makes one file for the page; one that is being made is stopped for it. */
export async function making(
  onProgress: (done: number, total: number) => void,
  make: (how: Stoppable) => Promise<MadeFile>,
): Promise<Made> {
  stopping?.abort();
  const stop = new AbortController();
  stopping = stop;
  try {
    const made = await answer(() =>
      make({
        signal: stop.signal,
        onProgress: async (done, total) => {
          onProgress(done, total);
          await breathe();
        },
      }),
    );
    return made.ok ? transfer(made, [made.value.bytes.buffer as ArrayBuffer]) : made;
  } catch (error) {
    if (stop.signal.aborted) return { ok: false, stopped: true };
    throw error;
  }
}
