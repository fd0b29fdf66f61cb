import type { PointMm } from "../../geometry/types.ts";
import type { Underlay } from "../../job/sections/underlay.ts";
import type { BoxMm } from "./planView.ts";

/** How a plan to trace lies on the ceiling's own plan. */
type Lie = Pick<Underlay, "cornerMm" | "mmPerPx" | "turnDeg">;

/** `by` turned clockwise on the plan. */
export function clockwise([x, y]: PointMm, deg: number): PointMm {
  const radians = (deg * Math.PI) / 180;
  const [sin, cos] = [Math.sin(radians), Math.cos(radians)];
  return [x * cos + y * sin, y * cos - x * sin];
}

/** A point of the picture, in its pixels right and down from its upper left, on the plan. */
export function onPlan({ cornerMm, mmPerPx, turnDeg }: Lie, [right, down]: PointMm): PointMm {
  const [x, y] = clockwise([right * mmPerPx, -down * mmPerPx], turnDeg);
  return [cornerMm[0] + x, cornerMm[1] + y];
}

/** SVG transform from the picture's pixels to plan millimetres. */
export function underlayTransform(lie: Lie): string {
  const [o, right, down] = [onPlan(lie, [0, 0]), onPlan(lie, [1, 0]), onPlan(lie, [0, 1])];
  const by = (to: PointMm): string => `${to[0] - o[0]} ${to[1] - o[1]}`;
  return `matrix(${by(right)} ${by(down)} ${o.join(" ")})`;
}

/** The smallest box round a box and the picture. */
export function withUnderlay(box: BoxMm, underlay: Underlay): BoxMm {
  const [width, height] = underlay.sizePx;
  const corners = [[0, 0], [width, 0], [width, height], [0, height]].map((p) => onPlan(underlay, p as PointMm)); // prettier-ignore
  const all = [box.min, box.max, ...corners];
  const [xs, ys] = [all.map((p) => p[0]), all.map((p) => p[1])];
  return { min: [Math.min(...xs), Math.min(...ys)], max: [Math.max(...xs), Math.max(...ys)] };
}
