import { readFileSync } from "node:fs";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import type { Ceiling, Tile } from "../../src/ceiling/types.ts";
import type { PointUm } from "../../src/geometry/types.ts";
import { jobSchema, type JobInput } from "../../src/job/schema.ts";
import type { Hole, HoleKind } from "../../src/pattern/types.ts";
import type { Planned } from "../../src/plan.ts";
import type { Body } from "../../src/sky/types.ts";
import type { FontBytes } from "../../src/drawing/typeface.ts";
import { JOB_VERSION } from "../../src/job/version.ts";

/** An invented room with cut borders on three sides, an L corner and things in the way. */
export const roomJob: JobInput = {
  format: "velarium.job",
  version: JOB_VERSION,
  title: "Tasting room, upper floor",
  client: "A. Client",
  room: "Room 2.04",
  firm: "Ceiling works",
  revision: 3,
  ceiling: {
    outlineMm: [
      [0, 0],
      [4300, 0],
      [4300, 2900],
      [3100, 2900],
      [3100, 3500],
      [0, 3500],
    ],
    walls: ["door wall", "window wall", "", "", "screen wall", "shelf wall"],
    bearingDeg: 29,
    grid: { moduleMm: [609.6, 609.6], originMm: [250, 300], tileMm: [603.25, 603.25] },
    tiles: { B2: { use: "plain", why: "access to the air handler" } },
    noGo: [
      { kind: "sprinkler", circle: { centreMm: [1700, 1100], radiusMm: 40 }, clearanceMm: 50 },
      {
        kind: "luminaire",
        name: "pendant",
        polygonMm: [
          [2700, 1200],
          [3000, 1200],
          [3000, 1500],
          [2700, 1500],
        ],
        clearanceMm: 25,
      },
    ],
  },
  sky: {
    chosen: "first",
    options: [
      {
        id: "first",
        title: "The night they moved in",
        place: { name: "Łódź", latDeg: 51.7592, lonDeg: 19.456 },
        moment: { local: "2031-02-14T21:00:00", zone: "Europe/Warsaw" },
      },
    ],
  },
  strands: {
    stock: [
      { diameterMm: 0.75, count: 1280 },
      { diameterMm: 1, count: 210 },
      { diameterMm: 1.5, count: 45 },
    ],
  },
  sheets: { sides: ["back", "face"] },
};

/** Lehmer's generator (Park and Miller 1988): the same numbers wherever it runs. */
export function randomFrom(seed: number): () => number {
  let state = (seed % 2147483646) + 1;
  return () => (state = (state * 48271) % 2147483647) / 2147483647;
}

const inside = (area: PointUm[][], x: number, y: number): boolean => {
  let odd = false;
  for (const ring of area)
    ring.forEach((a, i) => {
      const b = ring[(i + 1) % ring.length]!;
      if (a.y > y !== b.y > y && x < a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x)) odd = !odd;
    });
  return odd;
};

function holesIn(tile: Tile, wanted: number, spacingMm: number, random: () => number): Omit<Hole, "id">[] {
  const { box } = tile;
  const holes: Omit<Hole, "id">[] = [];
  for (let tries = 0; tries < wanted * 40 && holes.length < wanted; tries++) {
    const x = Math.round(box.minX + random() * (box.maxX - box.minX));
    const y = Math.round(box.minY + random() * (box.maxY - box.minY));
    if (!inside(tile.usable, x, y)) continue;
    const near = holes.some((h) => Math.hypot(h.xMm - x / 1000, h.yMm - y / 1000) < spacingMm);
    if (near) continue;
    const n = holes.length;
    const kind: HoleKind = n === 5 ? "moon" : n % 4 === 3 ? "filler" : "star";
    const real = kind !== "filler";
    holes.push({
      tile: tile.name,
      numberInTile: n + 1,
      kind,
      star: kind === "star" ? 1000 + n : null,
      name: n === 0 ? "Aldebaran" : n === 2 ? "γ² Vel" : kind === "moon" ? "Moon" : "",
      magnitude: real ? n / 10 : null,
      colourBv: null,
      trueXMm: real ? x / 1000 : null,
      trueYMm: real ? y / 1000 : null,
      xMm: x / 1000,
      yMm: y / 1000,
      tileXMm: (x - box.minX) / 1000,
      tileYMm: (y - box.minY) / 1000,
      diameterMm: n % 12 === 0 ? 1.5 : n % 5 === 0 ? 1 : 0.75,
      strands: n % 12 === 0 ? 3 : 1,
      movedMm: 0,
      merged: [],
      byHand: false,
      deeper: false,
      inFigure: n < 3,
    });
  }
  return holes;
}

const sun: Body = {
  name: "sun",
  altitudeDeg: -35.25,
  azimuthDeg: 280,
  raDeg: 328,
  decDeg: -13,
  magnitude: -26.7,
  lit: 1,
  distanceAu: 0.987,
};

export interface FixtureOptions {
  perTile?: number;
  seed?: number;
  change?: (job: JobInput) => void;
}

/** A plan made without a sky: random holes on a real ceiling. The same for the same options. */
export function fixturePlan({ perTile = 35, seed = 7, change }: FixtureOptions = {}): Planned {
  const input = structuredClone(roomJob);
  change?.(input);
  const job = jobSchema.parse(input);
  const ceiling: Ceiling = makeCeiling(job.ceiling);
  const random = randomFrom(seed);
  const holes = ceiling.tiles
    .filter((tile) => tile.usableMm2 > 0)
    .flatMap((tile) => holesIn(tile, perTile, job.pattern.spacingMm, random))
    .map((hole, i): Hole => ({ id: i + 1, ...hole }));
  const night = job.sky.options[0]!;
  return {
    job,
    night,
    frame: {
      instant: {
        utcIso: "2031-02-14T20:00:00Z",
        localIso: "2031-02-14T21:00:00+01:00",
        offsetMin: 60,
        zone: "Europe/Warsaw",
        jdUt: 2462912.333333,
        jdTt: 2462912.334134,
      },
      place: night.place,
      matrix: Float64Array.from([1, 0, 0, 0, 1, 0, 0, 0, 1]),
      velocity: [0, 0, 0],
      years: 31,
      refraction: true,
      extinction: false,
      sun,
      bodies: [],
    },
    projection: {
      toView: Float64Array.from([1, 0, 0, 0, 1, 0, 0, 0, 1]),
      bearingDeg: job.ceiling.bearingDeg,
      turnDeg: 0,
      anchorMm: [2150, 1750],
      radiusMm: 2770,
      halfAngleDeg: 60,
    },
    ceiling,
    pattern: {
      holes,
      lost: [
        {
          star: 11767,
          name: "Polaris",
          magnitude: 1.97,
          trueXMm: 1704.5,
          trueYMm: 1101.25,
          reason: "no free spot within reach",
          detail: "sprinkler",
          inFigure: true,
        },
      ],
      byHand: [],
      fidelity: {
        stars: holes.filter((hole) => hole.kind !== "filler").length,
        deeper: 0,
        mattering: [],
        gaveAir: 0,
        drowned: [],
        likeness: { edgeExcess: 1, nearestNeighbour: 1, band: null },
        filler: holes.filter((hole) => hole.kind === "filler").length,
        moved: 0,
        lost: 1,
        merged: 0,
        moves: [],
        lightKept: 0.97,
        figures: { onCeiling: 12, whole: 11, broken: ["UMi"] },
        orderTies: 0.6,
        stepErrorMag: 0.4,
        lightExponent: 0.6,
        leading: [{ of: 10, among: 9.5 }],
        perTile: { least: 0, mean: 35, most: 35, variation: 0.1 },
        faintestMagnitude: 3.4,
      },
      stated: [],
      scale: { exponent: 0.6, zeroMilli: 0, ends: null },
      wanted: 1535,
      shortfall: "",
      spare: [],
      tight: 0,
    },
    warnings: [],
  };
}

const fontFile = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`../../node_modules/dejavu-fonts-ttf/ttf/${name}`, import.meta.url)));

export const fonts: FontBytes = {
  regular: fontFile("DejaVuSans.ttf"),
  bold: fontFile("DejaVuSans-Bold.ttf"),
};
