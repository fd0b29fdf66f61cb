import { mapDirection, type Side, viewFrom } from "../../ceiling/flip.ts";
import type { PointMm } from "../../geometry/types.ts";

/** [x, y] in CSS pixels from the stage's upper left. */
export type PointPx = [number, number];

/** How the plan lies on the screen. Immutable. */
export interface PlanView {
  side: Side;
  pxPerMm: number;
  /** The point of the plan in the middle of the stage. */
  centreMm: PointMm;
  widthPx: number;
  heightPx: number;
}

export interface Margins {
  top: number;
  right: number;
  bottom: number;
  left: number;
}

export interface BoxMm {
  min: PointMm;
  max: PointMm;
}

/** Widest and closest looks: a 60 m hall on a phone, and one hole filling it. */
export const LEAST_PX_PER_MM = 0.004;
export const MOST_PX_PER_MM = 20;

const NO_BOX = { minX: 0, minY: 0, maxX: 0, maxY: 0 };
const X_SIGN: Record<Side, number> = { back: signOf("back"), face: signOf("face") };

/** Where the plan's +X points on the screen from this side: 1 to the right, -1 to the left. */
export function xSign(side: Side): number {
  return X_SIGN[side];
}

function signOf(side: Side): number {
  return mapDirection(viewFrom(side, NO_BOX), { x: 1, y: 0 }).x;
}

export function toScreen(planView: PlanView, [x, y]: PointMm): PointPx {
  const { side, pxPerMm, centreMm, widthPx, heightPx } = planView;
  return [
    widthPx / 2 + xSign(side) * (x - centreMm[0]) * pxPerMm,
    heightPx / 2 - (y - centreMm[1]) * pxPerMm,
  ];
}

export function toPlan(planView: PlanView, [x, y]: PointPx): PointMm {
  const { side, pxPerMm, centreMm, widthPx, heightPx } = planView;
  return [
    centreMm[0] + (xSign(side) * (x - widthPx / 2)) / pxPerMm,
    centreMm[1] - (y - heightPx / 2) / pxPerMm,
  ];
}

/** SVG transform from plan millimetres to the screen. */
export function planTransform(planView: PlanView): string {
  const [x, y] = toScreen(planView, [0, 0]);
  const { pxPerMm } = planView;
  return `matrix(${xSign(planView.side) * pxPerMm} 0 0 ${-pxPerMm} ${x} ${y})`;
}

/** SVG transform for writing inside the plan: upright and unmirrored at a point of the plan, one unit = one mm. */
export function writingTransform(side: Side, [x, y]: PointMm): string {
  return `matrix(${xSign(side)} 0 0 -1 ${x} ${y})`;
}

/** The view that shows the whole box inside the margins. */
export function fitted(planView: PlanView, box: BoxMm, margins: Margins): PlanView {
  const roomX = Math.max(40, planView.widthPx - margins.left - margins.right);
  const roomY = Math.max(40, planView.heightPx - margins.top - margins.bottom);
  const width = Math.max(1, box.max[0] - box.min[0]);
  const height = Math.max(1, box.max[1] - box.min[1]);
  const pxPerMm = clampScale(Math.min(roomX / width, roomY / height));
  const offX = (margins.right - margins.left) / 2 / pxPerMm;
  const offY = (margins.bottom - margins.top) / 2 / pxPerMm;
  const middle: PointMm = [(box.min[0] + box.max[0]) / 2, (box.min[1] + box.max[1]) / 2];
  return {
    ...planView,
    pxPerMm,
    centreMm: [middle[0] + xSign(planView.side) * offX, middle[1] - offY],
  };
}

/** Nearer or farther, with the point of the plan under `at` staying under it. */
export function zoomed(planView: PlanView, factor: number, at: PointPx): PlanView {
  const pxPerMm = clampScale(planView.pxPerMm * factor);
  const held = toPlan(planView, at);
  const moved = toPlan({ ...planView, pxPerMm }, at);
  const centreMm: PointMm = [
    planView.centreMm[0] + held[0] - moved[0],
    planView.centreMm[1] + held[1] - moved[1],
  ];
  return { ...planView, pxPerMm, centreMm };
}

/** The picture moved by so many pixels. */
export function panned(planView: PlanView, dxPx: number, dyPx: number): PlanView {
  const { pxPerMm, centreMm, side } = planView;
  return {
    ...planView,
    centreMm: [centreMm[0] - (xSign(side) * dxPx) / pxPerMm, centreMm[1] + dyPx / pxPerMm],
  };
}

function clampScale(pxPerMm: number): number {
  return Math.min(MOST_PX_PER_MM, Math.max(LEAST_PX_PER_MM, pxPerMm));
}
