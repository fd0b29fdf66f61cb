import { readFileSync } from "node:fs";
import { checkJob } from "../../src/check.ts";
import { jobSchema, type Job, type JobInput } from "../../src/job/schema.ts";
import { JOB_VERSION } from "../../src/job/version.ts";

const DEMO = "demo/harbour-dining-room.velarium.json";

interface BenchRoom {
  name: string;
  job: Job;
}

/** Five evenings through a year, winter to autumn (UTC, invented). */
const EVENINGS = ["2031-01-18", "2031-03-22", "2031-06-14", "2031-08-12", "2031-10-25"];

/** The demo and three invented rooms, each under five nights. */
export function likenessRooms(): BenchRoom[] {
  return [
    { name: "the demo", job: demo() },
    { name: "a kit of 480 equal strands", job: kit() },
    { name: "625 mm tiles in the south", job: south() },
    { name: "plain tiles in the middle", job: plainMiddle() },
  ];
}

/** The demo's three skies and two more evenings over the same place. */
function demo(): Job {
  const { job } = checkJob(readFileSync(DEMO));
  const [first] = job.sky.options;
  const more = [EVENINGS[1]!, EVENINGS[4]!].map((date) => ({
    ...first!,
    id: date,
    moment: { local: `${date}T22:00:00`, zone: "America/Halifax" },
  }));
  return { ...job, sky: { ...job.sky, options: [...job.sky.options, ...more] } };
}

function room(
  title: string,
  {
    sizeMm: [width, depth],
    moduleMm,
    place,
    hourUtc,
    ceiling,
    strands,
  }: {
    sizeMm: [number, number];
    moduleMm: number;
    place: { latDeg: number; lonDeg: number };
    hourUtc: string;
    ceiling?: Partial<JobInput["ceiling"]>;
    strands: JobInput["strands"];
  },
): Job {
  return jobSchema.parse({
    format: "velarium.job",
    version: JOB_VERSION,
    title,
    ceiling: {
      outlineMm: [[0, 0], [width, 0], [width, depth], [0, depth]], // prettier-ignore
      bearingDeg: 24,
      grid: { moduleMm: [moduleMm, moduleMm] },
      ...ceiling,
    },
    sky: {
      chosen: EVENINGS[0]!,
      options: EVENINGS.map((date) => ({ id: date, place, moment: { utc: `${date}T${hourUtc}Z` } })),
    },
    strands,
  } satisfies JobInput);
}

const kit = (): Job =>
  room("bench: kit", {
    sizeMm: [3900, 3100],
    moduleMm: 600,
    place: { latDeg: 52.1, lonDeg: 5.3 },
    hourUtc: "21:30:00",
    strands: { stock: [{ diameterMm: 0.75, count: 480 }] },
    ceiling: {
      noGo: [
        { kind: "sprinkler", circle: { centreMm: [1950, 1550], radiusMm: 40 }, clearanceMm: 50 },
        {
          kind: "luminaire",
          rectangle: { cornerMm: [600, 600], sizeMm: [150, 900], turnDeg: 0 },
          clearanceMm: 25,
        },
      ],
    },
  });

const south = (): Job =>
  room("bench: south", {
    sizeMm: [5200, 4300],
    moduleMm: 625,
    place: { latDeg: -36.8, lonDeg: 174.7 },
    hourUtc: "09:30:00",
    strands: { stock: [{ diameterMm: 0.5, count: 620 }, { diameterMm: 0.75, count: 300 }, { diameterMm: 1.5, count: 80 }] }, // prettier-ignore
    ceiling: {
      noGo: [
        { kind: "smoke-detector", circle: { centreMm: [2600, 2150], radiusMm: 60 }, clearanceMm: 60 },
        {
          kind: "diffuser",
          rectangle: { cornerMm: [3400, 900], sizeMm: [450, 450], turnDeg: 12 },
          clearanceMm: 30,
        },
      ],
    },
  });

const plainMiddle = (): Job =>
  room("bench: plain tiles", {
    sizeMm: [5400, 4200],
    moduleMm: 600,
    place: { latDeg: 40.2, lonDeg: -3.7 },
    hourUtc: "21:00:00",
    strands: { stock: [{ diameterMm: 0.75, count: 900 }, { diameterMm: 1, count: 220 }, { diameterMm: 2, count: 40 }] }, // prettier-ignore
    ceiling: {
      tiles: Object.fromEntries(
        ["C4", "C5", "D4", "D5", "D6"].map((name) => [
          name,
          { use: "plain" as const, why: "air handler above" },
        ]),
      ),
    },
  });
