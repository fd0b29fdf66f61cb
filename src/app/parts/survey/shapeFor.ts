import type { FittingChoice } from "../../../ceiling/presets.ts";
import type { Ceiling } from "../../../ceiling/types.ts";
import type { PointMm } from "../../../geometry/types.ts";
import { tileUnder } from "../../stage/tileUnder.ts";
import type { Shape } from "../../state/commands/things.ts";
import { toMm } from "../../../geometry/um.ts";

/** The chosen fitting's shape about a point, or spanned between two points where it was drawn; whole tiles where it fills them. */
export function shapeFor(
  choice: FittingChoice,
  at: PointMm,
  to: PointMm | null = null,
  ceiling: Ceiling | null = null,
): Shape {
  if (choice.fillsTile && ceiling) {
    const first = tileUnder(ceiling, at);
    const last = to ? tileUnder(ceiling, to) : first;
    if (first) return spanned(cornersOf(first.box), cornersOf((last ?? first).box));
  }
  if ("circle" in choice.shape) {
    const radiusMm = to ? Math.hypot(to[0] - at[0], to[1] - at[1]) : choice.shape.circle.radiusMm;
    return { circle: { centreMm: at, radiusMm } };
  }
  if (to) return spanned([at, at], [to, to]);
  const [width, depth] = choice.shape.rectangle.sizeMm;
  return {
    rectangle: { cornerMm: [at[0] - width / 2, at[1] - depth / 2], sizeMm: [width, depth], turnDeg: 0 },
  };
}

const cornersOf = ({ minX, minY, maxX, maxY }: Ceiling["box"]): [PointMm, PointMm] => [
  [toMm(minX), toMm(minY)],
  [toMm(maxX), toMm(maxY)],
];

/** The rectangle round two boxes. */
function spanned(a: [PointMm, PointMm], b: [PointMm, PointMm]): Shape {
  const low = (axis: 0 | 1): number => Math.min(a[0][axis], b[0][axis]);
  const high = (axis: 0 | 1): number => Math.max(a[1][axis], b[1][axis]);
  const cornerMm: PointMm = [low(0), low(1)];
  return { rectangle: { cornerMm, sizeMm: [high(0) - low(0), high(1) - low(1)], turnDeg: 0 } };
}
