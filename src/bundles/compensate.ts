import { giveRungs } from "../pattern/diameters.ts";
import { holeLight } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import type { Planned } from "../plan.ts";
import { issuedTiles } from "../issue/packed.ts";
import { makeBundles, type BundleOptions } from "./bundles.ts";
import type { Bundles } from "./types.ts";

/** A plan with its bundles: what sheets are printed from. */
export interface BundledPlan {
  /** As planned, or with strands exchanged where the job asks for lengths to be compensated. */
  plan: Planned;
  bundles: Bundles;
}

/**
 * Bundles a plan; where the job asks for it, exchanges strands so that what long strands lose is made up
 * by thickness. Then the rule "no fainter real star gets a thicker strand than a brighter one" holds for
 * the light a star needs at the engine (its magnitude less what its strand loses), not for its magnitude.
 */
export function bundlePlan(plan: Planned, options: BundleOptions): BundledPlan {
  const bundles = makeBundles(plan, options);
  if (!plan.job.bundles.compensateLength || bundles.strands.length === 0) return { plan, bundles };
  const before = plan.pattern.holes;
  const issued = new Set(issuedTiles(plan.job.issued).map(({ tile }) => tile));
  const stated = new Set(plan.pattern.stated);
  const free = before.filter(({ tile }) => !issued.has(tile));
  const after = new Map(
    compensated(free, bundles, plan.pattern.scale.exponent, stated).map((hole) => [hole.id, hole]),
  );
  const holes = before.map((hole) => after.get(hole.id) ?? hole);
  const changed = holes.filter((hole, i) => holeLight(hole) !== holeLight(before[i]!)).length;
  if (changed === 0) return { plan, bundles };
  const exchanged: Planned = { ...plan, pattern: { ...plan.pattern, holes } };
  const again = makeBundles(exchanged, options);
  again.warnings.push({
    code: "length-compensated",
    message:
      `${changed} stars changed strands to make up for length: thickness now follows the light needed at ` +
      "the engine, so a fainter star far from it may have a thicker strand than a brighter one nearby. " +
      "The fidelity figures are those before the exchange.",
    path: "bundles.compensateLength",
  });
  return { plan: exchanged, bundles: again };
}

/**
 * The same strands, given again to the real stars by compressed magnitude less loss. Filler stays, and so do the
 * holes in `kept`, whose strands a person stated.
 */
export function compensated(
  holes: readonly Hole[],
  { strands }: Bundles,
  exponent: number,
  kept: ReadonlySet<number> = new Set(),
): Hole[] {
  const loss = new Map(strands.map(({ hole, lossMag }) => [hole, Math.round(lossMag * 1000)]));
  const real = holes
    .filter(
      (hole) => hole.kind !== "filler" && hole.magnitude !== null && loss.has(hole.id) && !kept.has(hole.id),
    )
    .map((hole) => ({
      hole,
      milli: Math.round(exponent * Math.round(hole.magnitude! * 1000)) - loss.get(hole.id)!,
    }))
    .sort((a, b) => a.milli - b.milli || a.hole.id - b.hole.id);
  const rungs = new Map<number, { diameterMm: number; strands: number; holes: number }>();
  for (const { hole } of real) {
    const light = holeLight(hole);
    const rung = rungs.get(light) ?? { diameterMm: hole.diameterMm, strands: hole.strands, holes: 0 };
    rung.holes++;
    rungs.set(light, rung);
  }
  const given = giveRungs(
    real.map(({ milli }) => milli),
    [...rungs.values()],
  );
  const newOf = new Map(real.map(({ hole }, i) => [hole.id, given[i]!]));
  return holes.map((hole) => {
    const strung = newOf.get(hole.id);
    return !strung || holeLight(strung) === holeLight(hole) ? hole : { ...hole, ...strung };
  });
}
