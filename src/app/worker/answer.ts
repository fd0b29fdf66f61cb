import { BrokenInstallation, CannotDo, JobFaults } from "../../job/faults.ts";
import type { Answer } from "./api.ts";

/** Runs a piece of the core and turns its refusals into data; anything else is a defect and thrown on. */
export async function answer<T>(run: () => T | Promise<T>): Promise<Answer<T>> {
  try {
    return { ok: true, value: await run() };
  } catch (error) {
    return refusal(error);
  }
}

/** As `answer`, for what needs no waiting. */
export function answerNow<T>(run: () => T): Answer<T> {
  try {
    return { ok: true, value: run() };
  } catch (error) {
    return refusal(error);
  }
}

function refusal<T>(error: unknown): Answer<T> {
  if (error instanceof JobFaults) return { ok: false, faults: error.faults };
  if (error instanceof CannotDo || error instanceof BrokenInstallation) {
    return { ok: false, cannot: { message: error.message, next: error.next } };
  }
  throw error;
}
