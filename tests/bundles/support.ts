import loadHighs from "highs";
import type { BundleInput } from "../../src/bundles/bundles.ts";
import { highsSolver } from "../../src/bundles/highs.ts";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { jobSchema, type JobInput } from "../../src/job/schema.ts";
import type { Hole } from "../../src/pattern/types.ts";
import { JOB_VERSION } from "../../src/job/version.ts";

export const solver = highsSolver(await loadHighs());

/** A hole on the plan, its tile found by the caller. */
export interface HoleAt {
  xMm: number;
  yMm: number;
  diameterMm?: number;
  strands?: number;
  kind?: Hole["kind"];
  star?: number | null;
  magnitude?: number | null;
}

export interface RoomSpec {
  outlineMm?: [number, number][];
  ceiling?: Partial<JobInput["ceiling"]>;
  bundles: NonNullable<JobInput["bundles"]>;
  takeoff?: NonNullable<JobInput["takeoff"]>;
  holes: HoleAt[];
}

/** A room of 600 mm tiles (3000 x 2400 unless said) with the given holes; nothing of the sky. */
export function room({ outlineMm, ceiling = {}, bundles, takeoff = {}, holes }: RoomSpec): BundleInput {
  const job = jobSchema.parse({
    format: "velarium.job",
    version: JOB_VERSION,
    title: "test",
    ceiling: {
      outlineMm: outlineMm ?? [[0, 0], [3000, 0], [3000, 2400], [0, 2400]], // prettier-ignore
      heightMm: 2700,
      voidMm: 500,
      grid: { moduleMm: [600, 600], originMm: [0, 0] },
      ...ceiling,
    },
    sky: { chosen: "a", options: [{ id: "a", place: { latDeg: 0, lonDeg: 0 }, moment: { utc: "2030-01-01T00:00:00Z" } }] }, // prettier-ignore
    strands: { stock: [{ diameterMm: 0.75, count: 1 }] },
    bundles,
    takeoff,
  } satisfies JobInput);
  const made = makeCeiling(job.ceiling);
  const counts = new Map<string, number>();
  const placed = holes.flatMap((h): Hole[] => {
    const tile = made.tiles.find(
      ({ box }) => h.xMm * 1000 >= box.minX && h.xMm * 1000 <= box.maxX && h.yMm * 1000 >= box.minY && h.yMm * 1000 <= box.maxY, // prettier-ignore
    );
    if (!tile) throw new Error(`no tile at ${h.xMm}, ${h.yMm}`);
    counts.set(tile.name, (counts.get(tile.name) ?? 0) + 1);
    return [
      {
        id: 0,
        tile: tile.name,
        numberInTile: counts.get(tile.name)!,
        kind: h.kind ?? "star",
        star: h.star === undefined ? 1 : h.star,
        name: "",
        magnitude: h.magnitude === undefined ? 4 : h.magnitude,
        colourBv: null,
        trueXMm: h.xMm,
        trueYMm: h.yMm,
        xMm: h.xMm,
        yMm: h.yMm,
        tileXMm: h.xMm - tile.box.minX / 1000,
        tileYMm: h.yMm - tile.box.minY / 1000,
        diameterMm: h.diameterMm ?? 0.75,
        strands: h.strands ?? 1,
        movedMm: 0,
        merged: [],
        byHand: false,
        deeper: false,
        inFigure: false,
      },
    ];
  });
  const order = made.tiles.map(({ name }) => name);
  placed.sort((a, b) => order.indexOf(a.tile) - order.indexOf(b.tile) || a.numberInTile - b.numberInTile);
  placed.forEach((hole, i) => (hole.id = i + 1));
  return {
    job,
    ceiling: made,
    pattern: { holes: placed, scale: { exponent: 1, zeroMilli: 0, ends: null } },
  } as BundleInput;
}

/** So many holes in the middle part of a cell (column from the left, row from the bottom). */
export function cluster(column: number, row: number, count: number, diameterMm = 0.75): HoleAt[] {
  return Array.from({ length: count }, (_, i) => ({
    xMm: column * 600 + 150 + ((i * 37) % 300),
    yMm: row * 600 + 150 + ((i * 53) % 300),
    diameterMm,
    magnitude: i % 7,
  }));
}
