import { beforeAll, describe, expect, test } from "vitest";
import { benchJob, patternInput } from "../../scripts/bench/pattern.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { makePattern, type PatternInput } from "../../src/pattern/pattern.ts";
import type { Pattern } from "../../src/pattern/types.ts";
import { expectHardRules } from "./rules.ts";

let input: PatternInput;
let pattern: Pattern;
beforeAll(async () => {
  input = patternInput(await loadCatalog(), benchJob(8, 6, 1590));
  pattern = makePattern(input);
});

describe("a real sky over 48 tiles with 1,590 strands", () => {
  test("keeps every hard rule and accounts for every star", () => expectHardRules(input, pattern));

  test("goes as deep as star counts say: 4,968 to V 6 and 15,328 to V 7 over the whole sky (OEIS A053406)", () => {
    const { radiusMm, halfAngleDeg, anchorMm } = input.projection;
    const unit = radiusMm / Math.tan((halfAngleDeg * Math.PI) / 360);
    const step = 20;
    let steradians = 0;
    for (let x = step / 2; x < 4800; x += step)
      for (let y = step / 2; y < 3600; y += step) {
        const r2 = ((x - anchorMm[0]) ** 2 + (y - anchorMm[1]) ** 2) / unit ** 2;
        steradians += (4 / (1 + r2) ** 2) * (step / unit) ** 2;
      }
    const faintest = pattern.fidelity.faintestMagnitude!;
    const wholeSky = 4968 * (15_328 / 4968) ** (faintest - 6);
    const expected = (wholeSky * steradians) / (4 * Math.PI);
    const found = pattern.holes.filter((h) => !h.deeper).length + pattern.lost.length;
    // One summer sky with the Milky Way across it is richer than the average by up to a third.
    expect(found / expected).toBeGreaterThan(0.8);
    expect(found / expected).toBeLessThan(1.35);
  });

  test("fidelity is what the holes and the lost list say", () => {
    const { lost, fidelity } = pattern;
    // those beyond the limit of brightness are on no scale
    const holes = pattern.holes.filter((h) => !h.deeper);
    const light = (m: number) => 10 ** (-0.4 * m);
    const kept = holes.reduce((s, h) => s + light(h.magnitude!), 0);
    const gone = lost.filter((l) => l.reason !== "merged").reduce((s, l) => s + light(l.magnitude), 0);
    expect(fidelity.lightKept).toBeCloseTo(kept / (kept + gone), 5);
    expect(fidelity.moved).toBe(pattern.holes.filter((h) => h.movedMm > 0).length);
    for (const h of holes)
      expect(h.movedMm).toBeCloseTo(Math.hypot(h.xMm - h.trueXMm!, h.yMm - h.trueYMm!), 6);
    const rendered = holes.map(
      (h) => -2.5 * Math.log10(h.strands * h.diameterMm ** 2) - fidelity.lightExponent * h.magnitude!,
    );
    const zero = rendered.reduce((s, r) => s + r, 0) / rendered.length;
    const rms = Math.sqrt(rendered.reduce((s, r) => s + (r - zero) ** 2, 0) / rendered.length);
    expect(fidelity.stepErrorMag).toBeCloseTo(rms, 3);
    const lightOf = (i: number) => holes[i]!.strands * holes[i]!.diameterMm ** 2;
    let pairs = 0;
    let tied = 0;
    for (let i = 0; i < holes.length; i++)
      for (let j = 0; j < i; j++)
        if (holes[i]!.magnitude !== holes[j]!.magnitude) {
          pairs++;
          if (Math.abs(lightOf(i) - lightOf(j)) < 1e-9) tied++;
        }
    expect(fidelity.orderTies).toBeCloseTo(tied / pairs, 6);
    const bands = fidelity.moves.reduce((s, b) => s + b.count, 0);
    expect(bands).toBe(pattern.holes.length);
  });

  test("moves in degrees agree with the stereographic scale (Snyder, USGS PP 1395, eq. 21-4)", () => {
    const { radiusMm, halfAngleDeg, anchorMm } = input.projection;
    const unit = radiusMm / Math.tan((halfAngleDeg * Math.PI) / 360);
    const degrees = pattern.holes.map((h) => {
      const middle =
        Math.hypot((h.xMm + h.trueXMm!) / 2 - anchorMm[0], (h.yMm + h.trueYMm!) / 2 - anchorMm[1]) / unit;
      return ((2 / (1 + middle * middle)) * h.movedMm * 180) / Math.PI / unit;
    });
    expect(Math.max(...pattern.fidelity.moves.map((m) => m.maxDeg))).toBeCloseTo(Math.max(...degrees), 4);
  });

  test("keeps the great figures whole", () => {
    const { onCeiling, whole, broken } = pattern.fidelity.figures;
    expect(onCeiling).toBeGreaterThan(5);
    expect(whole + broken.length).toBe(onCeiling);
    expect(broken.length).toBeLessThanOrEqual(1);
  });

  test("stays the same to the last byte when made again", () => {
    expect(JSON.stringify(makePattern(input))).toBe(JSON.stringify(pattern));
  });
});
