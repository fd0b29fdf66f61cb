import { expect, it } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { rectangle, section } from "./sections.ts";

it("works out 3,000 tiles with 200 zones", () => {
  const noGo = Array.from({ length: 200 }, (_, i) =>
    i % 2
      ? {
          kind: "sprinkler" as const,
          circle: { centreMm: [900 + 170 * i, (i * 7919) % 29_000] as [number, number], radiusMm: 40 },
          clearanceMm: 50,
        }
      : {
          kind: "luminaire" as const,
          rectangle: {
            cornerMm: [100 + 170 * i, (i * 7919) % 28_000] as [number, number],
            sizeMm: [600, 300] as [number, number],
            turnDeg: i,
          },
          clearanceMm: 25,
        },
  );
  const large = section({ outlineMm: rectangle(36_000, 30_000), grid: { moduleMm: [600, 600] }, noGo });
  const ceiling = makeCeiling(large);
  expect(ceiling.tiles).toHaveLength(3000);
  expect(ceiling.noGo).toHaveLength(200);
  expect(ceiling.usableMm2).toBeLessThan(ceiling.areaMm2);
});
