import { expect } from "vitest";

/**
 * Vitest's `expect` for loops that look a hundred thousand times: only what does not hold is handed to it, as it costs
 * more than most of what is looked at.
 */
export function quick<T>(value: T, what?: string) {
  const number = value as number;
  const slow = () => expect(value, what);
  return {
    toBe: (other: T) => Object.is(value, other) || slow().toBe(other),
    toBeLessThan: (most: number) => number < most || slow().toBeLessThan(most),
    toBeLessThanOrEqual: (most: number) => number <= most || slow().toBeLessThanOrEqual(most),
    toBeGreaterThan: (least: number) => number > least || slow().toBeGreaterThan(least),
    toBeGreaterThanOrEqual: (least: number) => number >= least || slow().toBeGreaterThanOrEqual(least),
    toBeCloseTo: (other: number, digits: number) =>
      Math.abs(number - other) < 10 ** -digits / 2 || slow().toBeCloseTo(other, digits),
  };
}
