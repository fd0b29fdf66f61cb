import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { jobSchema, type Job, type JobInput } from "../../src/job/schema.ts";
import type { Hole } from "../../src/pattern/types.ts";
import type { SceneSource } from "../../src/scene/scene.ts";
import { chance } from "../../src/scene/exact.ts";
import { JOB_VERSION } from "../../src/job/version.ts";

/** An invented room of 16 x 12 ft with a few fittings. */
export function fixtureJob(change: Partial<JobInput> = {}): Job {
  return jobSchema.parse({
    format: "velarium.job",
    version: JOB_VERSION,
    title: "Reading room",
    ceiling: {
      outlineMm: [
        [0, 0],
        [4876.8, 0],
        [4876.8, 3657.6],
        [0, 3657.6],
      ],
      walls: ["window wall", "east wall", "door wall", "west wall"],
      heightMm: 2700,
      bearingDeg: 29,
      grid: { moduleMm: [609.6, 609.6], originMm: [0, 0] },
      tiles: { C4: { use: "plain", why: "access" } },
      noGo: [
        { kind: "sprinkler", circle: { centreMm: [900, 1200], radiusMm: 40 }, clearanceMm: 50 },
        {
          kind: "luminaire",
          polygonMm: [
            [1245, 635],
            [1805, 635],
            [1805, 1195],
            [1245, 1195],
          ],
          clearanceMm: 25,
        },
        { kind: "diffuser", rectangle: { cornerMm: [3070, 2460], sizeMm: [560, 560] }, clearanceMm: 25 },
        { kind: "smoke-detector", circle: { centreMm: [3400, 900], radiusMm: 55 }, clearanceMm: 50 },
      ],
    },
    sky: {
      chosen: "first",
      options: [
        {
          id: "first",
          place: { name: "Testville", latDeg: 48, lonDeg: 11 },
          moment: { local: "2031-02-14T21:00:00", zone: "Europe/Berlin" },
        },
      ],
    },
    strands: { stock: [{ diameterMm: 0.75, count: 1280 }] },
    ...change,
  });
}

/** A hole with everything else at rest. */
export function hole(
  id: number,
  xMm: number,
  yMm: number,
  diameterMm: number,
  more: Partial<Hole> = {},
): Hole {
  return {
    id,
    tile: "A1",
    numberInTile: id,
    kind: "star",
    star: id,
    name: "",
    magnitude: 3,
    colourBv: 0.6,
    trueXMm: xMm,
    trueYMm: yMm,
    xMm,
    yMm,
    tileXMm: 0,
    tileYMm: 0,
    diameterMm,
    strands: 1,
    movedMm: 0,
    merged: [],
    byHand: false,
    deeper: false,
    inFigure: false,
    ...more,
  };
}

/** A picture's source from a job and holes. */
export function sourceOf(job: Job, holes: Hole[]): SceneSource {
  return {
    job,
    ceiling: makeCeiling(job.ceiling),
    pattern: {
      holes,
      lost: [],
      byHand: [],
      wanted: holes.length,
      shortfall: "",
    } as unknown as SceneSource["pattern"],
  };
}

/** Holes by chance: thick ones few, thin ones many, anywhere on the ceiling. */
export function scatteredHoles(count: number, widthMm = 4876.8, depthMm = 3657.6): Hole[] {
  return Array.from({ length: count }, (_, i) =>
    hole(
      i + 1,
      20 + chance(7, i) * (widthMm - 40),
      20 + chance(8, i) * (depthMm - 40),
      i < count * 0.04 ? 1.5 : i < count * 0.18 ? 1 : 0.75,
      { colourBv: chance(9, i) * 1.8 - 0.2 },
    ),
  );
}
