import { chance, type Dot } from "./darkroom.ts";
import { hang, type Faults, type Hung, type Planned } from "./truth.ts";

/** A tile's box on the plan, mm. */
export interface BoxMm {
  minX: number;
  minY: number;
  maxX: number;
  maxY: number;
}

/** Moves a tile's lights about its middle: turned counter-clockwise on the plan by quarters, then into another place. */
export function rehang(dot: Dot, from: BoxMm, into: BoxMm, quarters: number): Dot {
  const middle = (b: BoxMm) => [(b.minX + b.maxX) / 2, (b.minY + b.maxY) / 2] as const;
  const [fx, fy] = middle(from);
  const [tx, ty] = middle(into);
  let [x, y] = [dot.xMm - fx, dot.yMm - fy];
  for (let i = 0; i < quarters; i++) [x, y] = [-y, x];
  return { ...dot, xMm: tx + x, yMm: ty + y };
}

const inside = (b: BoxMm, { xMm, yMm }: Dot): boolean =>
  xMm > b.minX && xMm < b.maxX && yMm > b.minY && yMm < b.maxY;

export interface Mishaps extends Faults {
  /** Pairs of tiles that were hung in each other's place. */
  exchanged?: readonly (readonly [BoxMm, BoxMm])[];
  turned?: readonly (readonly [BoxMm, number])[];
  /** Holes whose tail was not plugged in. */
  dark?: ReadonlySet<number>;
}

/** A ceiling hung with these mishaps. */
export function hangBadly(holes: readonly Planned[], seed: number, mishaps: Mishaps): Hung {
  const hung = hang(
    holes.filter((h) => !mishaps.dark?.has(h.id)),
    chance(seed),
    { deadShare: 0, displacedShare: 0, ...mishaps },
  );
  const dots = hung.dots.map((dot) => {
    for (const [a, b] of mishaps.exchanged ?? []) {
      if (inside(a, dot)) return rehang(dot, a, b, 0);
      if (inside(b, dot)) return rehang(dot, b, a, 0);
    }
    for (const [a, quarters] of mishaps.turned ?? []) if (inside(a, dot)) return rehang(dot, a, a, quarters);
    return dot;
  });
  return { ...hung, dots };
}
