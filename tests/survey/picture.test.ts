import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { pictureOf } from "../../src/survey/picture.ts";
import { readDrawing } from "../../src/survey/drawing.ts";
import { surveyDrawing } from "../../src/survey/survey.ts";

test("the picture of a drawing shows every visible line with what it is taken for, from its upper left corner down", () => {
  const text = readFileSync("tests/authorities/drawings/standard-layers.dxf", "utf8");
  const drawing = readDrawing(text, "standard-layers");
  const { taken, room } = surveyDrawing(drawing);
  const { lines, from, size, leftOut } = pictureOf(drawing, taken);
  expect(leftOut).toBe(0);
  const roles = new Set(lines.map(({ role }) => role));
  for (const role of ["outline", "grid", "sprinkler", "luminaire", "diffuser"] as const)
    expect(roles, role).toContain(role);
  // the frozen furniture is not shown, and is not lost: the survey names it
  expect(lines.some(({ layer }) => layer === "A-FURN")).toBe(false);
  const shown = lines.map(({ path }) => path.match(/M/g)!.length).reduce((a, b) => a + b, 0);
  expect(shown).toBe(drawing.pieces.filter(({ layer }) => layer !== "A-FURN").length);
  // every point lies in the box, y counted downward
  for (const [, x, y] of lines.flatMap(({ path }) => [...path.matchAll(/[ML](\S+?) ([^MLZ]+)/g)])) {
    expect(Number(x)).toBeGreaterThanOrEqual(-1e-6);
    expect(Number(x)).toBeLessThanOrEqual(size[0] * 1.0001);
    expect(Number(y)).toBeGreaterThanOrEqual(-1e-6);
    expect(Number(y)).toBeLessThanOrEqual(size[1] * 1.0001);
  }
  const tops = room!.outline.map(([, y]) => from[1] - y);
  expect(Math.min(...tops)).toBeGreaterThanOrEqual(-1e-6);
});
