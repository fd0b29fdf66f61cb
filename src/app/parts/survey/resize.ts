import type { PointMm } from "../../../geometry/types.ts";
import type { Job } from "../../../job/schema.ts";
import type { NoGo } from "../../../job/sections/ceiling.ts";
import { rectangleCorners, reshapeThing, SMALLEST_MM } from "../../state/commands/things.ts";
import { type Edit, Refusal } from "../../state/edit.ts";

/** Where a thing's size can be taken hold of: a circle's right, a rectangle's or free form's corners. */
export function sizeHandles(thing: NoGo): PointMm[] {
  if (thing.circle) return [[thing.circle.centreMm[0] + thing.circle.radiusMm, thing.circle.centreMm[1]]];
  if (thing.rectangle) return rectangleCorners(thing.rectangle);
  return thing.polygonMm ?? [];
}

/** The thing with one of its handles pulled to a point; a rectangle's opposite corner stays, and so does its turn. */
export function resizeBy(job: Job, index: number, handle: number, to: PointMm): Edit {
  const thing = job.ceiling.noGo[index];
  if (thing === undefined) throw new Refusal("That no-go zone is no longer on the ceiling.");
  if (thing.circle) {
    const [x, y] = thing.circle.centreMm;
    const radiusMm = Math.hypot(to[0] - x, to[1] - y);
    return reshapeThing(job, index, { circle: { ...thing.circle, radiusMm } });
  }
  if (thing.rectangle) {
    return reshapeThing(job, index, { rectangle: pulled(thing.rectangle, handle, to) });
  }
  const polygonMm = (thing.polygonMm ?? []).map((p, i) => (i === handle ? to : p));
  return reshapeThing(job, index, { polygonMm });
}

function pulled(
  rectangle: NonNullable<NoGo["rectangle"]>,
  handle: number,
  to: PointMm,
): NonNullable<NoGo["rectangle"]> {
  const fixed = rectangleCorners(rectangle)[(handle + 2) % 4] ?? to;
  const rad = (rectangle.turnDeg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(rad), Math.sin(rad)];
  const [dx, dy] = [to[0] - fixed[0], to[1] - fixed[1]];
  // Into the rectangle's own axes, which are turned clockwise.
  const width = Math.max(SMALLEST_MM, Math.abs(dx * cos - dy * sin));
  const depth = Math.max(SMALLEST_MM, Math.abs(dx * sin + dy * cos));
  const cornerMm: PointMm = [(fixed[0] + to[0]) / 2 - width / 2, (fixed[1] + to[1]) / 2 - depth / 2];
  return { ...rectangle, cornerMm, sizeMm: [width, depth] };
}
