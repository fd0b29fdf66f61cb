import { Refusal } from "../../../state/edit.ts";

/** A whole number within bounds, or a refusal that names them. */
export function readWhole(value: number, min: number, max: number, what: string): number {
  if (!Number.isInteger(value) || value < min || value > max) {
    throw new Refusal(`Expected ${what}: a whole number from ${min} to ${max}.`);
  }
  return value;
}
