import type { PointMm } from "../../../geometry/types.ts";
import type { Job } from "../../../job/schema.ts";
import { NO_GO, type NoGoKind } from "../../../job/noGoKinds.ts";
import type { NoGo } from "../../../job/sections/ceiling.ts";
import { type Edit, Refusal, withCeiling } from "../edit.ts";
import { omit } from "../omit.ts";
import { shiftNoGo, tidy } from "./shiftRoom.ts";

/** Nobody has been asked yet. */
const NO_ANSWER: NoGo["agreement"] = { answer: "open", who: "", on: "", words: "" };

/** Smallest thing that can be drawn: below this a drag is taken for a slip of the hand. */
export const SMALLEST_MM = 5;

export type Shape = Pick<NoGo, "circle" | "rectangle" | "polygonMm">;

/** "Sprinkler head 2", or the name it was given. */
export function thingName(job: Job, index: number): string {
  const thing = job.ceiling.noGo[index];
  if (thing === undefined) return `no-go zone ${index + 1}`;
  if (thing.name !== "") return thing.name;
  const nth = job.ceiling.noGo.slice(0, index + 1).filter((t) => t.kind === thing.kind).length;
  return `${NO_GO[thing.kind].label} ${nth}`;
}

export function addThing(job: Job, kind: NoGoKind, shape: Shape, clearanceMm: number): Edit {
  const thing: NoGo = { kind, name: "", ...tidyShape(shape), clearanceMm, owner: "", agreement: NO_ANSWER };
  const next = withCeiling(job, { noGo: [...job.ceiling.noGo, thing] });
  return { name: `Add ${lower(thingName(next, next.ceiling.noGo.length - 1))}`, job: next };
}

export function moveThing(job: Job, index: number, byMm: PointMm): Edit {
  const moved = shiftNoGo(thingAt(job, index), ([x, y]) => [tidy(x + byMm[0]), tidy(y + byMm[1])]);
  return {
    name: `Move ${lower(thingName(job, index))}`,
    job: withThing(job, index, moved),
    merge: `move ${index}`,
  };
}

/** Puts the middle of a thing's box at a point. */
export function placeThing(job: Job, index: number, centreMm: PointMm): Edit {
  const now = thingCentre(thingAt(job, index));
  return omit(moveThing(job, index, [centreMm[0] - now[0], centreMm[1] - now[1]]), "merge");
}

/** Another size or form; the old form goes. */
export function reshapeThing(job: Job, index: number, shape: Shape): Edit {
  const rest: NoGo = omit(thingAt(job, index), "circle", "rectangle", "polygonMm");
  return {
    name: `Resize ${lower(thingName(job, index))}`,
    job: withThing(job, index, { ...rest, ...tidyShape(shape) }),
    merge: `resize ${index}`,
  };
}

export type Form = "round" | "square" | "free";

export function thingForm(thing: NoGo): Form {
  return thing.circle ? "round" : thing.rectangle ? "square" : "free";
}

/** Gives a thing another form about the same middle: a disc as wide as its box, that box, or its box's corners to be dragged. */
export function setForm(job: Job, index: number, form: Form): Edit {
  const thing = thingAt(job, index);
  const corners = thingCorners(thing);
  const [x, y] = thingCentre(thing);
  const width = Math.max(...corners.map((c) => Math.abs(c[0] - x))) * 2;
  const depth = Math.max(...corners.map((c) => Math.abs(c[1] - y))) * 2;
  const shape: Shape =
    form === "round"
      ? { circle: { centreMm: [x, y], radiusMm: Math.max(width, depth) / 2 } }
      : form === "square"
        ? { rectangle: { cornerMm: [x - width / 2, y - depth / 2], sizeMm: [width, depth], turnDeg: 0 } }
        : { polygonMm: corners };
  const words = { round: "round", square: "rectangular", free: "a free form" } as const;
  const edit = reshapeThing(job, index, shape);
  return { name: `Make ${lower(thingName(job, index))} ${words[form]}`, job: edit.job };
}

export type ThingDetails = Partial<Pick<NoGo, "kind" | "name" | "clearanceMm" | "owner" | "agreement">>;

export function describeThing(job: Job, index: number, details: ThingDetails): Edit {
  const thing = { ...thingAt(job, index), ...details };
  return { name: `Change ${lower(thingName(job, index))}`, job: withThing(job, index, thing) };
}

export function removeThing(job: Job, index: number): Edit {
  const name = `Remove ${lower(thingName(job, index))}`;
  return { name, job: withCeiling(job, { noGo: job.ceiling.noGo.toSpliced(index, 1) }) };
}

/** A second one like it, set off a little so that both can be seen. */
export function duplicateThing(job: Job, index: number, byMm: PointMm): Edit {
  const copy = shiftNoGo(thingAt(job, index), ([x, y]) => [tidy(x + byMm[0]), tidy(y + byMm[1])]);
  const noGo = [...job.ceiling.noGo, { ...copy, name: "", agreement: NO_ANSWER }];
  return { name: `Copy ${lower(thingName(job, index))}`, job: withCeiling(job, { noGo }) };
}

/** Corners of a thing's shape on the plan; a circle gives the corners of its box. */
export function thingCorners(thing: NoGo): PointMm[] {
  if (thing.polygonMm) return thing.polygonMm;
  if (thing.circle) {
    const { centreMm, radiusMm } = thing.circle;
    const at = (sx: number, sy: number): PointMm => [
      centreMm[0] + sx * radiusMm,
      centreMm[1] + sy * radiusMm,
    ];
    return [at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)];
  }
  if (thing.rectangle) return rectangleCorners(thing.rectangle);
  return [];
}

export function thingCentre(thing: NoGo): PointMm {
  const corners = thingCorners(thing);
  const middle = (axis: 0 | 1) => {
    const values = corners.map((c) => c[axis]);
    return (Math.min(...values) + Math.max(...values)) / 2;
  };
  return corners.length === 0 ? [0, 0] : [middle(0), middle(1)];
}

/** A rectangle is turned clockwise, seen from above, about its centre. */
export function rectangleCorners(rectangle: NonNullable<NoGo["rectangle"]>): PointMm[] {
  const [x, y] = rectangle.cornerMm;
  const [width, depth] = rectangle.sizeMm;
  const rad = (rectangle.turnDeg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(rad), Math.sin(rad)];
  const at = (dx: number, dy: number): PointMm => [
    x + width / 2 + dx * cos + dy * sin,
    y + depth / 2 - dx * sin + dy * cos,
  ];
  return [
    at(-width / 2, -depth / 2),
    at(width / 2, -depth / 2),
    at(width / 2, depth / 2),
    at(-width / 2, depth / 2),
  ];
}

function tidyShape({ circle, rectangle, polygonMm }: Shape): Shape {
  const point = ([x, y]: PointMm): PointMm => [tidy(x), tidy(y)];
  const size = (mm: number) => Math.max(SMALLEST_MM, tidy(mm));
  if (circle) {
    return { circle: { ...circle, centreMm: point(circle.centreMm), radiusMm: size(circle.radiusMm) } };
  }
  if (rectangle) {
    const [width, depth] = rectangle.sizeMm;
    return {
      rectangle: { ...rectangle, cornerMm: point(rectangle.cornerMm), sizeMm: [size(width), size(depth)] },
    };
  }
  if (polygonMm === undefined || polygonMm.length < 3) throw new Refusal("A shape needs three corners.");
  return { polygonMm: polygonMm.map(point) };
}

function thingAt(job: Job, index: number): NoGo {
  const thing = job.ceiling.noGo[index];
  if (thing === undefined) throw new Refusal("That no-go zone is no longer on the ceiling.");
  return thing;
}

function withThing(job: Job, index: number, thing: NoGo): Job {
  return withCeiling(job, { noGo: job.ceiling.noGo.with(index, thing) });
}

/** Given names keep their capitals; our own words follow a verb. */
function lower(name: string): string {
  const ours = Object.values(NO_GO).some(({ label }) => name.startsWith(label));
  return ours ? name.charAt(0).toLowerCase() + name.slice(1) : name;
}
