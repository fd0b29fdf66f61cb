import type { Job } from "./job/schema.ts";
import type { Night } from "./job/sections/sky.ts";
import { tanHalfDeg } from "./sky/trig.ts";

/** The compact catalogue ends here (V). */
export const COMPACT_FAINTEST = 8.5;
/** Its stars over the whole sky. */
const COMPACT_STARS = 41_411;
/** The poorest parts of the sky, away from the Milky Way, hold about this share of the average. */
const POOREST_SHARE = 0.5;

/** Stars beyond the limit are drawn from about this many times as many. */
const BEYOND = 3;

/**
 * True where the compact catalogue may hold too few stars on this outline for the strands to be used, so
 * that a shell should load the deep one: a narrow field, or very many strands.
 */
export function needsDeepCatalog(job: Job, night: Night): boolean {
  const { deeperShare } = job.pattern;
  const stock = job.strands.stock.reduce((sum, s) => sum + s.count, 0);
  const strands = Math.min(job.strands.use ?? stock, stock) * (1 + BEYOND * deeperShare);
  return strands > COMPACT_STARS * POOREST_SHARE * skyShare(job, night);
}

/** Share of the whole sphere that falls on the bounding box of the outline, taken as a disc of equal area. */
function skyShare(job: Job, night: Night): number {
  const xs = job.ceiling.outlineMm.map(([x]) => x);
  const ys = job.ceiling.outlineMm.map(([, y]) => y);
  const widthMm = Math.max(...xs) - Math.min(...xs);
  const depthMm = Math.max(...ys) - Math.min(...ys);
  const radiusMm = night.field.radiusMm ?? Math.sqrt(widthMm * widthMm + depthMm * depthMm) / 2;
  // tan(c/2) of the disc's rim, and (1 - cos c)/2 = t²/(1 + t²); at most the half of the sky that is up
  const t = (Math.sqrt((widthMm * depthMm) / Math.PI) / radiusMm) * tanHalfDeg(night.field.halfAngleDeg);
  return Math.min(0.5, (t * t) / (1 + t * t));
}
