import { lengthsByHole } from "../bundles/bundles.ts";
import type { Bundles } from "../bundles/types.ts";
import type { Side } from "../ceiling/flip.ts";
import type { Planned } from "../plan.ts";
import { CannotDo } from "../job/faults.ts";
import type { DarkTestInput } from "./darkTest.ts";
import { makePlaces, viewOf } from "./places.ts";

/** How a plan is held against photographs. */
export interface DarkTestChoice {
  /** From below as it hangs (face), or on the bench from its back. */
  side: Side;
  /** One tile on the bench, by name; null for the whole ceiling. */
  tile: string | null;
}

/** What a dark test needs of a plan, and of its bundles where there are any. Throws CannotDo for a tile without holes. */
export function darkTestInput(
  plan: Planned,
  bundles: Bundles | null,
  { side, tile }: DarkTestChoice,
): DarkTestInput {
  const { ceiling, pattern, job } = plan;
  const holes = tile === null ? pattern.holes : pattern.holes.filter((hole) => hole.tile === tile);
  if (holes.length === 0)
    throw new CannotDo(
      tile === null ? "This plan has no holes." : `No tile ${tile} with holes is on this plan.`,
      tile === null ? "Plan it first." : `Tiles with holes: ${[...new Set(pattern.holes.map((h) => h.tile))].slice(0, 12).join(", ")} ...`, // prettier-ignore
    );
  const bundled = bundles !== null && bundles.engines.length > 0 ? bundles : null;
  const lengthsM = bundled ? lengthsByHole(bundled) : undefined;
  const light = { lengthsM, lossDbPerM: job.strands.lossDbPerM };
  const engineOf = new Map((bundled?.strands ?? []).map((s) => [s.hole, s.engine]));
  const tailOf = (holeId: number) => {
    const engine = engineOf.get(holeId);
    const own = tileOf.get(holeId)!;
    return engine === undefined ? null : { name: `${engine}-${own}`, engine, tile: own };
  };
  const tileOf = new Map(holes.map((hole) => [hole.id, hole.tile]));
  const view = viewOf(side, ceiling.box);
  return {
    ceiling,
    places: makePlaces(holes, view, light),
    view,
    mirrored: makePlaces(holes, viewOf(side === "face" ? "back" : "face", ceiling.box), light),
    tailOf,
    unlit: new Map((bundled?.unlit ?? []).map(({ hole, why }) => [hole, why])),
    bench: tile !== null,
    units: job.units,
  };
}
