import { beforeAll, expect, test } from "vitest";
import { benchJob, patternInput } from "../../scripts/bench/pattern.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { makePattern } from "../../src/pattern/pattern.ts";
import type { Hole, Pattern } from "../../src/pattern/types.ts";

/** A spacing that thick groups fill: so many conflicts that something has to be moved. */
let pattern: Pattern;
const SPACING_MM = 12;
beforeAll(async () => {
  const job = benchJob(8, 6, 1590);
  job.strands.stock = [{ diameterMm: 0.75, count: 1200 }, { diameterMm: 2, count: 200 }]; // prettier-ignore
  job.pattern.spacingMm = SPACING_MM;
  pattern = makePattern(patternInput(await loadCatalog(), job));
});

// Kravitz 1967, to the digits given there: hole over strand for 1 to 7 of them.
const RATIO = [1, 2, 2.1547, 2.4142, 2.7013, 3, 3];
const excess = ({ diameterMm, strands }: Hole): number => ((RATIO[strands - 1]! - 1) * diameterMm) / 2;

test("a wide hole keeps from its neighbours what it is wider than a strand; those that can't are counted", () => {
  const { holes, tight } = pattern;
  const near = new Set<number>();
  for (let i = 0; i < holes.length; i++)
    for (let j = 0; j < i; j++) {
      const [a, b] = [holes[i]!, holes[j]!];
      if (Math.abs(a.xMm - b.xMm) > 40) continue;
      const apart = Math.hypot(a.xMm - b.xMm, a.yMm - b.yMm);
      expect(apart).toBeGreaterThanOrEqual(SPACING_MM - 1e-6);
      const over = apart - SPACING_MM - excess(a) - excess(b);
      if (over < -0.002) [a, b].filter((h) => h.strands > 1).forEach((h) => near.add(h.id));
    }
  expect(holes.filter(({ strands }) => strands > 1).length).toBeGreaterThan(50);
  expect(near.size).toBeLessThanOrEqual(2 * tight);
  expect(tight).toBeLessThan(10);
});
