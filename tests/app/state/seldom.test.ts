import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { seldom } from "../../../src/app/state/seldom.ts";

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test("words follow at once, then no oftener than asked, and the last state is always told", () => {
  let state = 0;
  const told: number[] = [];
  const tell = seldom(100, () => told.push(state));
  for (state = 1; state <= 30; state++) {
    tell();
    vi.advanceTimersByTime(16);
  }
  state = 31;
  tell();
  vi.advanceTimersByTime(1000);
  // 31 changes in 480 ms: at once, then after each 100 ms
  expect(told.length).toBe(6);
  expect(told[0]).toBe(1);
  expect(told.at(-1)).toBe(31);
  state = 32;
  tell();
  expect(told.at(-1)).toBe(32);
});

test("nothing is told again when nothing was asked", () => {
  let calls = 0;
  const tell = seldom(100, () => calls++);
  tell();
  vi.advanceTimersByTime(5000);
  expect(calls).toBe(1);
});
