import { expect, test } from "vitest";
import { maskOf } from "../../../src/app/parts/night/sky/paintDust.ts";

test("a mask holds a bit for each pixel that is not quite clear, over word borders too", () => {
  const pixels = 97;
  const filled = [0, 1, 30, 31, 32, 63, 64, 95, 96];
  const rgba = new Uint8ClampedArray(4 * pixels).fill(255);
  for (let pixel = 0; pixel < pixels; pixel++) rgba[4 * pixel + 3] = 0;
  for (const [i, pixel] of filled.entries()) rgba[4 * pixel + 3] = i === 0 ? 1 : 255;
  const mask = maskOf(rgba);
  expect(mask.length).toBe(4);
  const set = Array.from({ length: pixels }, (_, p) => p).filter((p) => (mask[p >>> 5]! >>> (p & 31)) & 1);
  expect(set).toEqual(filled);
});
