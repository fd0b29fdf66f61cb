import { Body, DefineStar, Equator, Horizon, Observer } from "astronomy-engine";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { nightSchema } from "../../src/job/sections/sky.ts";
import { skyFrame } from "../../src/sky/frame.ts";
import { projectSky, skyBuffers } from "../../src/sky/project.ts";
import { makeProjection } from "../../src/sky/projection.ts";

export interface SkyTiming {
  what: string;
  stars: number;
  /** Median of the warm runs, per star of the catalogue. */
  nsPerStar: number;
}

const RUNS = 21;
const PASSES = 20;
/** Stars given to the reference, which takes some microseconds for each. */
const REFERENCE_STARS = 2000;
const UTC = "2031-02-14T20:00:00Z";
const PLACE = { latDeg: 48.2082, lonDeg: 16.3738 };
const BOX = { minX: 0, minY: 0, maxX: 4_876_800, maxY: 3_657_600 };

function median(values: number[]): number {
  return values.sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}

function nsPerStar(stars: number, passes: number, run: () => void): number {
  for (let warm = 0; warm < 3 * passes; warm++) run();
  const times = Array.from({ length: RUNS }, () => {
    const start = performance.now();
    for (let pass = 0; pass < passes; pass++) run();
    return performance.now() - start;
  });
  return (median(times) * 1e6) / (passes * stars);
}

/**
 * From catalogue to ceiling, per star, on 16 by 12 feet: the pass that the time slider repeats, a whole new
 * moment (frame and pass), and for reference the npm astronomy library called star by star.
 */
export async function benchSky(): Promise<SkyTiming[]> {
  const catalog = await loadCatalog();
  const { stars } = catalog;
  const buffers = skyBuffers(stars.count);
  let sink = 0;
  const ours = (what: string, options: { refraction: boolean; extinction: boolean }, newMoment: boolean) => {
    const night = nightSchema.parse({ id: "bench", place: PLACE, moment: { utc: UTC }, ...options });
    const projection = makeProjection(night.view, night.field, 29, BOX);
    let frame = skyFrame(night);
    const run = () => {
      if (newMoment) frame = skyFrame(night);
      sink += projectSky(catalog, frame, projection, BOX, buffers).count;
    };
    return { what, stars: stars.count, nsPerStar: nsPerStar(stars.count, PASSES, run) };
  };
  const timings = [
    ours("sky to ceiling, refraction", { refraction: true, extinction: false }, false),
    ours("sky to ceiling, no refraction", { refraction: false, extinction: false }, false),
    ours("sky to ceiling, extinction too", { refraction: true, extinction: true }, false),
    ours("a new moment: frame and sky", { refraction: true, extinction: false }, true),
  ];

  const observer = new Observer(PLACE.latDeg, PLACE.lonDeg, 0);
  const date = new Date(UTC);
  const reference = () => {
    for (let row = 0; row < REFERENCE_STARS; row++) {
      const raHours = (Math.atan2(stars.y[row]!, stars.x[row]!) * 12) / Math.PI;
      const decDeg = (Math.asin(stars.z[row]!) * 180) / Math.PI;
      DefineStar(Body.Star1, (raHours + 24) % 24, decDeg, 1000);
      const { ra, dec } = Equator(Body.Star1, date, observer, true, true);
      sink += Horizon(date, observer, ra, dec, "normal").altitude;
    }
  };
  timings.push({
    what: "reference: astronomy-engine, altitude and azimuth alone",
    stars: REFERENCE_STARS,
    nsPerStar: nsPerStar(REFERENCE_STARS, 1, reference),
  });
  if (!Number.isFinite(sink)) throw new Error("the bench computed nothing");
  return timings;
}
