import { bundleWarnings } from "../bundles/faults.ts";
import { makeCeiling } from "../ceiling/ceiling.ts";
import { ceilingWarnings } from "../ceiling/warnings.ts";
import { withIssued } from "../issue/ceiling.ts";
import { keepIssued } from "../issue/keep.ts";
import { issuedTiles } from "../issue/packed.ts";
import { senseWarnings } from "../pattern/sense.ts";
import { darknessWarnings } from "../sky/darkness.ts";
import { skyFrame } from "../sky/frame.ts";
import { momentWarnings } from "../sky/time.ts";
import { fromSky } from "./fromSky.ts";
import { PRINTS } from "./prints.ts";
import { row, type RowName } from "./reads.ts";
import { catalogFor, planned, type Made } from "./stage.ts";
import { holesWarnings } from "./warnings.ts";

/**
 * The whole way from a job to whatever is shown or printed. Nothing else in the program knows what is made how:
 * a row added here, and what it reads in `reads.ts`, is remembered, found stale and made anew like every other.
 */
export const TABLE = {
  sky: row("sky", {
    words: "Reading the moment",
    load: () => null,
    make: ({ night, at }) => skyFrame(night, at),
    warnings: ({ night, at }, frame) => [
      ...momentWarnings(night.moment, frame.instant, `${at}.moment`),
      ...darknessWarnings(frame, `${at}.moment`),
    ],
  }),
  ceiling: row("ceiling", {
    words: "Laying out the ceiling",
    load: () => null,
    make: ({ job }) => withIssued(makeCeiling(job.ceiling), issuedTiles(job.issued)),
    warnings: ({ job }, ceiling) => ceilingWarnings(job, ceiling),
  }),
  holes: row("holes", {
    words: "Placing holes",
    load: catalogFor,
    make: (given, catalog): Made["holes"] => {
      const from = {
        night: given.night.id,
        ...fromSky(given, catalog),
        ...(given.stop && { stop: given.stop }),
      };
      const kept = keepIssued(from, issuedTiles(given.job.issued));
      const { projection, projected } = from;
      return { projection, ...kept, stars: projected.count, faintest: catalog.faintest };
    },
    warnings: (given, holes) => [
      ...senseWarnings(given.job, given.night, given.at, given.ceiling),
      ...holesWarnings(given, holes),
    ],
  }),
  bundles: row("bundles", {
    words: "Assigning tiles to engines",
    load: (tools, chosen) => Promise.all([tools.sharer(chosen.job), catalogFor(tools, chosen)]),
    make: (given, [share, catalog]) => share(planned(given), catalog),
    warnings: ({ job }, { bundles }) =>
      job.bundles.engines.length > 0 ? bundleWarnings(bundles, job.units) : [],
  }),
  takeoff: row("takeoff", {
    words: "Working out fabric, hours and prices",
    load: () => Promise.all([import("../takeoff/bundled.ts"), import("../sheets/laid.ts")]),
    make: (given, [{ takeoffOf }, { paperFacts }]) => {
      const plan = planned(given);
      return takeoffOf(plan, given.bundles.bundles, paperFacts(plan));
    },
    warnings: (_, { warnings }) => warnings,
  }),
  ...PRINTS,
} satisfies Record<RowName, object>;
