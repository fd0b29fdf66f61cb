import fc from "fast-check";
import type { JobInput } from "../../src/job/schema.ts";
import { JOB_VERSION } from "../../src/job/version.ts";

/** Whole millimetres, so that a failing case is easy to draw. */
const mm = (min: number, max: number) => fc.integer({ min, max });

const outline = fc
  .record({ width: mm(1200, 6000), depth: mm(1200, 5000), notch: fc.boolean() })
  .map(({ width, depth, notch }): [number, number][] =>
    notch
      ? [
          [0, 0],
          [width, 0],
          [width, Math.round(depth * 0.6)],
          [Math.round(width * 0.7), Math.round(depth * 0.6)],
          [Math.round(width * 0.7), depth],
          [0, depth],
        ]
      : [
          [0, 0],
          [width, 0],
          [width, depth],
          [0, depth],
        ],
  );

const circleZone = fc.record({
  kind: fc.constantFrom("sprinkler" as const, "smoke-detector" as const, "other" as const),
  circle: fc.record({ centreMm: fc.tuple(mm(-100, 6000), mm(-100, 5000)), radiusMm: mm(5, 400) }),
  clearanceMm: mm(0, 150),
});
const boxZone = fc
  .record({ x: mm(-200, 5500), y: mm(-200, 4500), w: mm(10, 1500), h: mm(10, 900), clearanceMm: mm(0, 80) })
  .map(({ x, y, w, h, clearanceMm }) => ({
    kind: "luminaire" as const,
    polygonMm: [
      [x, y],
      [x + w, y],
      [x + w, y + h],
      [x, y + h],
    ] as [number, number][],
    clearanceMm,
  }));

const moment = fc
  .record({
    year: fc.integer({ min: 1900, max: 2100 }),
    month: fc.integer({ min: 1, max: 12 }),
    day: fc.integer({ min: 1, max: 28 }),
    hour: fc.integer({ min: 0, max: 23 }),
  })
  .map(({ year, month, day, hour }) => {
    const two = (n: number) => String(n).padStart(2, "0");
    return { utc: `${year}-${two(month)}-${two(day)}T${two(hour)}:30:00Z` };
  });

const stock = fc.uniqueArray(
  fc.record({ diameterMm: fc.constantFrom(0.5, 0.75, 1, 1.5, 2), count: fc.integer({ min: 0, max: 160 }) }),
  { minLength: 1, maxLength: 4, selector: (s) => s.diameterMm },
);

/** Jobs that the schema takes, of rooms, zones, skies and stocks of every sort; some are impossible. */
export const randomJob: fc.Arbitrary<JobInput> = fc
  .record({
    outlineMm: outline,
    module: fc.constantFrom<[number, number]>(
      [600, 600],
      [609.6, 609.6],
      [609.6, 1219.2],
      [625, 625],
      [600, 1200],
    ),
    originMm: fc.oneof(fc.constant("balanced" as const), fc.tuple(mm(0, 600), mm(0, 600))),
    teeFaceMm: fc.constantFrom(15, 24),
    noGo: fc.array(fc.oneof(circleZone, boxZone), { maxLength: 8 }),
    latDeg: fc.integer({ min: -90, max: 90 }),
    lonDeg: fc.integer({ min: -180, max: 180 }),
    moment,
    view: fc.record({
      azimuthDeg: fc.integer({ min: 0, max: 360 }),
      altitudeDeg: fc.integer({ min: 20, max: 90 }),
      turnDeg: fc.integer({ min: -180, max: 180 }),
    }),
    halfAngleDeg: fc.integer({ min: 15, max: 100 }),
    bearingDeg: fc.integer({ min: -180, max: 180 }),
    stock,
    seed: fc.nat(1_000_000),
    spacingMm: fc.constantFrom(6, 8, 15),
    evenness: fc.constantFrom(0, 0.5, 1),
    deeperShare: fc.constantFrom(0, 0.3, 1),
  })
  .map((r) => ({
    format: "velarium.job",
    version: JOB_VERSION,
    title: "random",
    ceiling: {
      outlineMm: r.outlineMm,
      bearingDeg: r.bearingDeg,
      grid: { moduleMm: r.module, originMm: r.originMm, teeFaceMm: r.teeFaceMm },
      noGo: r.noGo,
    },
    sky: {
      chosen: "only",
      options: [
        {
          id: "only",
          place: { latDeg: r.latDeg, lonDeg: r.lonDeg },
          moment: r.moment,
          view: r.view,
          field: { halfAngleDeg: r.halfAngleDeg },
        },
      ],
    },
    strands: { stock: r.stock },
    pattern: { seed: r.seed, spacingMm: r.spacingMm, evenness: r.evenness, deeperShare: r.deeperShare },
  }));
