import type { Area } from "../../geometry/types.ts";
import type { PointMm } from "../../geometry/types.ts";
import { toMm } from "../../geometry/um.ts";

/** SVG path data in plan millimetres; fill it with the even-odd rule. */
export function areaPath(area: Area): string {
  return area.map((ring) => `M${ring.map((p) => `${toMm(p.x)} ${toMm(p.y)}`).join("L")}Z`).join("");
}

export function polygonPath(points: readonly PointMm[]): string {
  return points.length === 0 ? "" : `M${points.map(([x, y]) => `${x} ${y}`).join("L")}Z`;
}
