import { COMPACT_FAINTEST, needsDeepCatalog } from "./catalogDepth.ts";
import { makeCeiling } from "./ceiling/ceiling.ts";
import type { Ceiling } from "./ceiling/types.ts";
import { ceilingWarnings } from "./ceiling/warnings.ts";
import { JobFaults } from "./job/faults.ts";
import type { Warning } from "./job/faults.ts";
import type { Job } from "./job/schema.ts";
import type { Night } from "./job/sections/sky.ts";
import { makePattern } from "./pattern/pattern.ts";
import type { Pattern } from "./pattern/types.ts";
import { darknessWarnings } from "./sky/darkness.ts";
import { skyFrame } from "./sky/frame.ts";
import { projectSky } from "./sky/project.ts";
import { makeProjection } from "./sky/projection.ts";
import { momentWarnings } from "./sky/time.ts";
import type { Catalog, ProjectedSky, Projection, SkyFrame } from "./sky/types.ts";

/** A job worked out as far as its holes: what sheets, bundles, takeoff, scene and both shells are made from. */
export interface Plan {
  job: Job;
  /** The chosen option of job.sky. */
  night: Night;
  frame: SkyFrame;
  projection: Projection;
  ceiling: Ceiling;
  pattern: Pattern;
  warnings: Warning[];
}

/** A lost star brighter than this is named in a warning: everybody knows it, and will look for it. */
const MISSED_MAGNITUDE = 2;

/**
 * The whole way from a checked job (`checkJob`) to its holes; the same job and catalogue give the same
 * bytes in every engine. Throws JobFaults for a job that can't be read as a sky or a ceiling, CannotDo
 * where a sound job asks for the impossible. `stop` is called often and may throw to give the plan up.
 */
export function planJob(job: Job, catalog: Catalog, stop?: () => void): Plan {
  const night = chosenNight(job);
  const path = `sky.options[${job.sky.options.indexOf(night)}]`;
  const ceiling = makeCeiling(job.ceiling);
  const frame = skyFrame(night, path);
  const projection = makeProjection(night.view, night.field, job.ceiling.bearingDeg, ceiling.box);
  const projected = projectSky(catalog, frame, projection, ceiling.box);
  const pattern = makePattern({
    catalog,
    frame,
    projection,
    projected,
    ceiling,
    strands: job.strands,
    pattern: job.pattern,
    ...(stop ? { stop } : {}),
  });
  const warnings = [
    ...momentWarnings(night.moment, frame.instant, `${path}.moment`),
    ...darknessWarnings(frame, `${path}.moment`),
    ...catalogWarnings(job, night, catalog),
    ...skyWarnings(projected, path),
    ...ceilingWarnings(job.ceiling, ceiling),
    ...patternWarnings(pattern),
  ];
  return { job, night, frame, projection, ceiling, pattern, warnings };
}

/** The sky that `sky.chosen` names. Throws JobFaults where there is none. */
export function chosenNight(job: Job): Night {
  const night = job.sky.options.find((option) => option.id === job.sky.chosen);
  if (night) return night;
  const ids = job.sky.options.map((option) => option.id).join(", ");
  throw new JobFaults([
    {
      path: "sky.chosen",
      expected: `one of ${ids}`,
      got: job.sky.chosen,
      next: "Choose one of these skies.",
    },
  ]);
}

function catalogWarnings(job: Job, night: Night, catalog: Catalog): Warning[] {
  if (catalog.faintest > COMPACT_FAINTEST || !needsDeepCatalog(job, night)) return [];
  return [
    {
      code: "needs-deep-catalog",
      message:
        "So narrow a field, or so many strands, may need stars fainter than the compact catalogue holds; " +
        "filler stands in for them.",
      path: "strands",
    },
  ];
}

function skyWarnings(projected: ProjectedSky, path: string): Warning[] {
  if (projected.count > 0) return [];
  return [
    {
      code: "empty-sky",
      message:
        "No star of this sky lies on the ceiling: the view is below the horizon, or the field too narrow.",
      path: `${path}.view`,
    },
  ];
}

function patternWarnings({ byHand, lost, shortfall }: Pattern): Warning[] {
  const warnings: Warning[] = byHand
    .filter((report) => !report.kept)
    .map(({ index, why }) => ({
      code: "by-hand-not-kept",
      message: `What was set by hand no longer fits: ${why}`,
      path: `pattern.byHand[${index}]`,
    }));
  for (const star of lost) {
    if (star.magnitude > MISSED_MAGNITUDE || star.reason === "omitted by hand" || star.reason === "merged")
      continue;
    const name = star.name || `HIP ${star.star}`;
    warnings.push({
      code: "bright-star-lost",
      message: `${name} (magnitude ${star.magnitude.toFixed(1)}) has no hole: ${star.reason}${star.detail ? ` (${star.detail})` : ""}.`,
    });
  }
  if (shortfall) warnings.push({ code: "shortfall", message: shortfall, path: "strands" });
  return warnings;
}
