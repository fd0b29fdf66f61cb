import type { NoGoPreset } from "../../../ceiling/presets.ts";
import type { PointMm } from "../../../geometry/types.ts";
import type { Shape } from "../../state/commands/things.ts";

/** The preset's shape about a point, or spanned between two points where it was drawn. */
export function shapeFor(preset: NoGoPreset, at: PointMm, to: PointMm | null = null): Shape {
  if ("circle" in preset.shape) {
    const radiusMm = to ? Math.hypot(to[0] - at[0], to[1] - at[1]) : preset.shape.circle.radiusMm;
    return { circle: { centreMm: at, radiusMm } };
  }
  const [width, depth] = to
    ? [Math.abs(to[0] - at[0]), Math.abs(to[1] - at[1])]
    : preset.shape.rectangle.sizeMm;
  const cornerMm: PointMm = to
    ? [Math.min(at[0], to[0]), Math.min(at[1], to[1])]
    : [at[0] - width / 2, at[1] - depth / 2];
  return { rectangle: { cornerMm, sizeMm: [width, depth], turnDeg: 0 } };
}
