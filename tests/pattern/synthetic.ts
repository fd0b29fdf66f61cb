import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import type { Ceiling } from "../../src/ceiling/types.ts";
import { jobSchema, type JobInput } from "../../src/job/schema.ts";
import { makePattern, type PatternInput } from "../../src/pattern/pattern.ts";
import type { Pattern } from "../../src/pattern/types.ts";
import { makeProjection } from "../../src/sky/projection.ts";
import {
  NO_COLOUR,
  type Catalog,
  type MilkyWayMap,
  type ProjectedSky,
  type SkyFrame,
} from "../../src/sky/types.ts";
import { JOB_VERSION } from "../../src/job/version.ts";

/** One star of an invented sky: where it truly lands on the plan, and how bright it is. */
export interface TestStar {
  hip: number;
  xMm: number;
  yMm: number;
  magnitude: number;
}

export interface Setting {
  ceiling?: Partial<JobInput["ceiling"]>;
  strands?: Partial<JobInput["strands"]>;
  pattern?: JobInput["pattern"];
  stars: TestStar[];
  /** Figures as lists of Hipparcos numbers. */
  figures?: number[][];
  milkyWay?: MilkyWayMap;
  /** Which of them matter to the client: F0, F1, ... in their order. */
  mattering?: string[];
}

export const darkMap: MilkyWayMap = { width: 4, height: 3, level: new Uint8Array(12) };

export const rectangle = (width: number, depth: number): [number, number][] => [
  [0, 0],
  [width, 0],
  [width, depth],
  [0, depth],
];

/** Everything makePattern needs, for an invented sky over a room of one or more 600 mm tiles. */
export function settingInput(setting: Setting): PatternInput {
  const job = jobSchema.parse({
    format: "velarium.job",
    version: JOB_VERSION,
    title: "test",
    ceiling: {
      outlineMm: rectangle(1200, 1200),
      grid: { moduleMm: [600, 600], originMm: [0, 0] },
      ...setting.ceiling,
    },
    sky: {
      chosen: "a",
      options: [{ id: "a", place: { latDeg: 0, lonDeg: 0 }, moment: { utc: "2030-01-01T00:00:00Z" } }],
    },
    strands: {
      stock: [{ diameterMm: 0.75, count: setting.stars.length }],
      mostPerHole: 1,
      ...setting.strands,
    },
    pattern: setting.pattern ?? {},
  });
  const ceiling = makeCeiling(job.ceiling);
  const night = job.sky.options[0]!;
  return {
    catalog: catalogOf(setting),
    night: night.id,
    figures: setting.mattering ?? [],
    frame: stillFrame,
    projection: makeProjection(night.view, night.field, ceiling.bearingDeg, ceiling.box),
    projected: projectedOf(setting.stars),
    ceiling,
    strands: job.strands,
    pattern: job.pattern,
  };
}

export const settle = (setting: Setting): Pattern => makePattern(settingInput(setting));

/** A sky that stands still: the zenith is the pole of the map, no bodies, no aberration. */
export const stillFrame = {
  matrix: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
  velocity: [0, 0, 0],
  years: 0,
  refraction: false,
  extinction: false,
  bodies: [],
} as unknown as SkyFrame;

export function projectedOf(stars: TestStar[]): ProjectedSky {
  const sorted = [...stars].sort((p, q) => p.magnitude - q.magnitude || p.hip - q.hip);
  return {
    count: sorted.length,
    hip: Uint32Array.from(sorted, (s) => s.hip),
    row: Int32Array.from(sorted, (_, i) => i),
    xUm: Int32Array.from(sorted, (s) => Math.round(s.xMm * 1000)),
    yUm: Int32Array.from(sorted, (s) => Math.round(s.yMm * 1000)),
    magnitudeMilli: Int32Array.from(sorted, (s) => Math.round(s.magnitude * 1000)),
  };
}

function catalogOf({ stars, figures = [], milkyWay = darkMap }: Setting): Catalog {
  const count = stars.length;
  return {
    stars: {
      count,
      hip: Uint32Array.from(stars, (s) => s.hip),
      magnitudeCenti: Int16Array.from(stars, (s) => Math.round(s.magnitude * 100)),
      colourMilli: new Int16Array(count).fill(NO_COLOUR),
      x: new Float64Array(count),
      y: new Float64Array(count),
      z: new Float64Array(count),
      movingRows: new Uint32Array(0),
      motion: new Float64Array(0),
    },
    names: new Map(),
    figures: figures.map((line, i) => ({ abbreviation: `F${i}`, name: `Figure ${i}`, lines: [line] })),
    figureStars: new Set(figures.flat()),
    milkyWay,
    faintest: 15,
  };
}

/** Ray casting written apart from the product's own containment; points on the very edge may go either way. */
export function insideRings(rings: { x: number; y: number }[][], x: number, y: number): boolean {
  let inside = false;
  for (const ring of rings)
    ring.forEach((a, i) => {
      const b = ring[(i + 1) % ring.length]!;
      if (a.y > y !== b.y > y && x < ((b.x - a.x) * (y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
    });
  return inside;
}

/** Distance from a point to segment ab, in the units given. */
export function toSegment(x: number, y: number, ax: number, ay: number, bx: number, by: number): number {
  const length = Math.hypot(bx - ax, by - ay);
  if (length === 0) return Math.hypot(x - ax, y - ay);
  const along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length;
  if (along <= 0) return Math.hypot(x - ax, y - ay);
  if (along >= length) return Math.hypot(x - bx, y - by);
  return Math.abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / length;
}

/** Distance in mm from a point to the nearest edge of an area in micrometres. */
export function toEdgeMm(rings: { x: number; y: number }[][], xMm: number, yMm: number): number {
  let least = Infinity;
  for (const ring of rings)
    ring.forEach((a, i) => {
      const b = ring[(i + 1) % ring.length]!;
      least = Math.min(least, toSegment(xMm * 1000, yMm * 1000, a.x, a.y, b.x, b.y) / 1000);
    });
  return least;
}

export const tileNamed = (ceiling: Ceiling, name: string) => ceiling.tiles.find((t) => t.name === name)!;
