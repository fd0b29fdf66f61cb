import fc from "fast-check";
import { NO_GO_KINDS } from "../../src/job/noGoKinds.ts";
import type { JobInput } from "../../src/job/schema.ts";
import { randomJob } from "../plan/randomJob.ts";

const mm = (min: number, max: number) => fc.integer({ min, max });
const kind = fc.constantFrom(...NO_GO_KINDS);

/** A room with as many corners as come, round a middle that may lie anywhere on the plan. */
const outlineMm = fc
  .record({
    radii: fc.array(mm(900, 3200), { minLength: 3, maxLength: 14 }),
    x: mm(-4000, 4000),
    y: mm(-4000, 4000),
    turn: mm(0, 359),
    clockwise: fc.boolean(),
  })
  .map(({ radii, x, y, turn, clockwise }) => {
    const corners = radii.map((r, i): [number, number] => {
      const angle = ((turn + (360 * i) / radii.length) * Math.PI) / 180;
      return [Math.round(x + r * Math.cos(angle)), Math.round(y + r * Math.sin(angle))];
    });
    return clockwise ? corners.reverse() : corners;
  });

const zone = fc.oneof(
  fc.record({ kind, circle: fc.record({ centreMm: fc.tuple(mm(-6000, 6000), mm(-6000, 6000)), radiusMm: mm(5, 500) }), clearanceMm: mm(0, 200) }), // prettier-ignore
  fc.record({ kind, rectangle: fc.record({ cornerMm: fc.tuple(mm(-6000, 6000), mm(-6000, 6000)), sizeMm: fc.tuple(mm(20, 1800), mm(20, 1800)), turnDeg: mm(-180, 180) }), clearanceMm: mm(0, 100) }), // prettier-ignore
  fc
    .record({
      kind,
      x: mm(-6000, 6000),
      y: mm(-6000, 6000),
      a: mm(40, 900),
      b: mm(40, 900),
      clearanceMm: mm(0, 60),
    }) // prettier-ignore
    .map(({ kind, x, y, a, b, clearanceMm }) => ({
      kind,
      polygonMm: [[x, y], [x + a, y + b], [x - b, y + a]] as [number, number][], // prettier-ignore
      clearanceMm,
    })),
);

/** Bright stars of the northern and the southern sky, and some that are too faint for most ceilings (Hipparcos). */
const star = fc.constantFrom(
  32349,
  30438,
  91262,
  11767,
  24436,
  27989,
  60718,
  65474,
  113368,
  746,
  71683,
  8102,
);
const byHand = fc.oneof(
  fc.record({ do: fc.constant("pin" as const), night: fc.constant("only"), what: star, atMm: fc.tuple(mm(-3000, 3000), mm(-3000, 3000)) }), // prettier-ignore
  fc.record({ do: fc.constant("omit" as const), what: star }),
  fc.record({ do: fc.constant("add" as const), atMm: fc.tuple(mm(-3000, 3000), mm(-3000, 3000)) }),
);

/**
 * Jobs that the schema takes and nobody would draw: ragged rooms, crowds of zones, skies pressed together or spread
 * out, reaches of half a metre, tiles left out here and there, things set by hand where they don't fit.
 */
export const wildJob: fc.Arbitrary<JobInput> = fc
  .record({
    base: randomJob,
    outlineMm: fc.option(outlineMm, { nil: undefined, freq: 3 }),
    zones: fc.array(zone, { maxLength: 30 }),
    halfAngleDeg: mm(3, 150),
    radiusMm: mm(300, 6000),
    turnDeg: mm(-180, 180),
    reachMm: mm(0, 150),
    brightReachMm: mm(0, 400),
    spacingMm: mm(2, 60),
    milkyWay: fc.constantFrom(0, 0.85, 1),
    faintestMagnitude: fc.option(mm(1, 7)),
    byHand: fc.uniqueArray(byHand, { maxLength: 5, selector: (it) => ("what" in it ? it.what : JSON.stringify(it)) }), // prettier-ignore
    uses: fc.dictionary(
      fc.tuple(fc.constantFrom("A", "B", "C", "D"), mm(1, 5)).map(([row, column]) => `${row}${column}`),
      fc.constantFrom({ use: "plain" as const }, { use: "fabric" as const }),
      { maxKeys: 4 },
    ),
  })
  .map(({ base, outlineMm, zones, uses, halfAngleDeg, radiusMm, turnDeg, ...pattern }) => ({
    ...base,
    ceiling: {
      ...base.ceiling,
      outlineMm: outlineMm ?? base.ceiling.outlineMm,
      noGo: [...(base.ceiling.noGo ?? []), ...zones],
      tiles: outlineMm ? {} : uses,
    },
    sky: {
      ...base.sky,
      options: base.sky.options.map((option) => ({
        ...option,
        view: { ...option.view, turnDeg },
        field: { halfAngleDeg, radiusMm },
      })),
    },
    pattern: { ...base.pattern, ...pattern },
  }));
