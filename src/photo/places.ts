import { UM_PER_MM, toMm } from "../geometry/um.ts";
import { drawnDownFrom, inverse, mapDirection, mapPoint } from "../ceiling/flip.ts";
import type { Side } from "../ceiling/flip.ts";
import type { BoxUm } from "../geometry/types.ts";
import { holeLight } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";

/** A planned strand's end as a camera should meet it. */
export interface StrandEnd {
  hole: Hole;
  /** In mm as seen from the camera's side, y downward like a picture's (`View.seen`). */
  xMm: number;
  yMm: number;
  /** Light it should give beside the others, before cone, distance and lens: area and loss along the strand. */
  light: number;
}

type Mm = { xMm: number; yMm: number };

/** From the plan to how it is seen from a side, in mm, y downward, and back: a picture of it differs by no mirror. */
export interface View {
  seen: (xMm: number, yMm: number) => Mm;
  plan: (xMm: number, yMm: number) => Mm;
  /** A way seen, as a way on the plan. */
  planWay: (xMm: number, yMm: number) => Mm;
}

export function viewOf(side: Side, box: BoxUm): View {
  const map = drawnDownFrom(side, box);
  const back = inverse(map);
  const through = (m: typeof map) => (xMm: number, yMm: number) => {
    const { x, y } = mapPoint(m, { x: xMm * UM_PER_MM, y: yMm * UM_PER_MM });
    return { xMm: toMm(x), yMm: toMm(y) };
  };
  const planWay = (xMm: number, yMm: number) => {
    const { x, y } = mapDirection(back, { x: xMm, y: yMm });
    return { xMm: x, yMm: y };
  };
  return { seen: through(map), plan: through(back), planWay };
}

/** 10^(-dB/10) of a strand's length; 1 where it is not known. */
const kept = (lengthM: number | undefined, lossDbPerM: number): number =>
  lengthM === undefined ? 1 : 10 ** ((-lossDbPerM * lengthM) / 10);

/** The planned places of some holes as seen. Light follows the area of the strands: one evenly lit port feeds them all. */
export function makePlaces(
  holes: readonly Hole[],
  view: View,
  { lengthsM, lossDbPerM }: { lengthsM?: ReadonlyMap<number, number> | undefined; lossDbPerM: number },
): StrandEnd[] {
  return holes.map((hole) => ({
    hole,
    ...view.seen(hole.xMm, hole.yMm),
    light: holeLight(hole) * kept(lengthsM?.get(hole.id), lossDbPerM),
  }));
}
