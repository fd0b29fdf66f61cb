import { readFileSync } from "node:fs";
import { jobSchema, type Job, type JobInput } from "../../src/job/schema.ts";
import { readJob } from "../../src/job/read.ts";
import { JOB_VERSION } from "../../src/job/version.ts";

const head = { format: "velarium.job", version: JOB_VERSION } as const;

/** 625 mm grid, Letter, one port of 30 mm that can't feed everything; a room of corners and a slanting wall. */
const foyer: JobInput = {
  ...head,
  title: "Tähtikatto, aula",
  client: "Example office (invented)",
  room: "Foyer",
  firm: "Example ceiling works (invented)",
  units: "mm",
  ceiling: {
    outlineMm: [
      [0, 0],
      [3100, 0],
      [3100, 1900],
      [2300, 2700],
      [0, 2700],
    ],
    walls: ["door wall", "lift wall", "slanting wall", "stair wall", "window wall"],
    bearingDeg: 74,
    voidMm: 90,
    grid: { moduleMm: [625, 625], originMm: "balanced", teeFaceMm: 24, tileMm: [620, 620] },
    noGo: [
      { kind: "sprinkler", name: "head", circle: { centreMm: [1500, 1300], radiusMm: 40 }, clearanceMm: 50 },
      {
        kind: "luminaire",
        name: "panel",
        polygonMm: [
          [600, 600],
          [1200, 600],
          [1200, 900],
          [600, 900],
        ],
        clearanceMm: 25,
      },
    ],
  },
  sky: {
    chosen: "only",
    options: [
      {
        id: "only",
        title: "Itsenäisyyspäivän ilta",
        place: { name: "Helsinki", latDeg: 60.17, lonDeg: 24.94 },
        moment: { local: "2030-12-06T19:00:00", zone: "Europe/Helsinki" },
      },
    ],
  },
  strands: {
    stock: [
      { diameterMm: 0.5, count: 150 },
      { diameterMm: 0.75, count: 160 },
      { diameterMm: 1.5, count: 30 },
    ],
  },
  sheets: { paper: "Letter", sides: ["back", "face"], listed: { few: true, tiles: ["A1"] } },
  bundles: {
    engines: [
      { letter: "A", name: "rack", place: "cabinet", atMm: [-200, 300], heightMm: 900, portDiameterMm: 30, capacity: 300, reachM: 9 }, // prettier-ignore
    ],
  },
};

/** 24 x 48 in tiles on a 36 in roll, in feet and inches. */
const library: JobInput = {
  ...head,
  title: "Reading room",
  client: "Example library (invented)",
  room: "Reading room",
  firm: "Example ceiling works (invented)",
  units: "ft-in",
  ceiling: {
    outlineMm: [
      [0, 0],
      [3962.4, 0],
      [3962.4, 3048],
      [0, 3048],
    ],
    walls: ["stacks wall", "desk wall", "street wall", "court wall"],
    bearingDeg: 12,
    grid: { moduleMm: [609.6, 1219.2], originMm: "balanced", teeFaceMm: 15, tileMm: [603.25, 1212.85] },
    noGo: [
      {
        kind: "diffuser",
        name: "supply air",
        circle: { centreMm: [2000, 1500], radiusMm: 150 },
        clearanceMm: 50,
      },
    ],
  },
  sky: {
    chosen: "only",
    options: [
      {
        id: "only",
        title: "First reading",
        place: { name: "Duluth, Minnesota", latDeg: 46.79, lonDeg: -92.1 },
        moment: { local: "2030-08-12T22:30:00", zone: "America/Chicago" },
      },
    ],
  },
  strands: {
    stock: [
      { diameterMm: 0.75, count: 320 },
      { diameterMm: 1, count: 60 },
      { diameterMm: 2, count: 12 },
    ],
  },
  sheets: { paper: "Roll 36 in", sides: ["back", "face"], face: "full" },
  bundles: {
    engines: [
      { letter: "A", name: "west", place: "closet", atMm: [-150, 800], heightMm: 1000, portDiameterMm: 30, capacity: 250, reachM: 9 }, // prettier-ignore
      { letter: "B", name: "east", place: "closet", atMm: [4100, 800], heightMm: 1000, portDiameterMm: 30, capacity: 250, reachM: 9 }, // prettier-ignore
    ],
  },
};

const harbour = (): Job =>
  readJob(readFileSync(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url))).job;

/** The demo, and two invented rooms that differ from it in grid, units, papers and engines. */
export const THREE_JOBS: Record<string, () => Job> = {
  foyer: () => jobSchema.parse(foyer),
  library: () => jobSchema.parse(library),
  harbour,
};
