import type { Planned } from "../plan.ts";
import { rowOfStar } from "../sky/catalog.ts";
import { bodyDirection, starSeenAt } from "../sky/project.ts";
import { altitudeDegOf } from "../sky/trig.ts";
import type { Catalog, SkyFrame } from "../sky/types.ts";
import type { Cast } from "./cast.ts";

type Wished = Cast["wished"][number];

/** "Jupiter", "the Moon", "Orion". */
export function wishName(one: Pick<Wished, "name" | "kind">): string {
  if (one.kind === "figure") return one.name;
  return one.name === "moon" ? "the Moon" : one.name[0]!.toUpperCase() + one.name.slice(1);
}

/** Figure by its full name; the cast keeps names, not abbreviations. */
export function figureStars(catalog: Pick<Catalog, "figures">, name: string): number[] {
  const figure = catalog.figures.find((f) => f.name === name);
  return [...new Set(figure?.lines.flat() ?? [])];
}

/** Apparent altitude in degrees of a wished body, or of the LOWEST star of a wished figure. */
export function altitudeOf(one: Wished, frame: SkyFrame, catalog: Catalog): number {
  if (one.kind === "body") {
    const body = frame.bodies.find((b) => b.name === one.name);
    return body ? altitudeDegOf(...bodyDirection(frame, body)) : -90;
  }
  let lowest = 90;
  for (const hip of figureStars(catalog, one.name)) {
    const row = rowOfStar(catalog.stars, hip);
    if (row >= 0) lowest = Math.min(lowest, altitudeDegOf(...starSeenAt(catalog.stars, frame, row)));
  }
  return lowest;
}

/** Stars of the sky that have a hole in a plan, their own or one they were merged into. */
export function placedStars({ pattern }: Pick<Planned, "pattern">): Set<number> {
  const placed = new Set<number>();
  for (const hole of pattern.holes) {
    if (hole.star !== null) placed.add(hole.star);
    for (const what of hole.merged) if (typeof what === "number") placed.add(what);
  }
  return placed;
}

/** How many stars of a wished figure have no hole; 0 or 1 for a body. */
export function missingOf(one: Wished, plan: Planned, catalog: Catalog): number {
  if (one.kind === "body") {
    const there = plan.pattern.holes.some(
      (h) => (h.kind === "moon" || h.kind === "planet") && h.name.toLowerCase() === one.name,
    );
    return there ? 0 : 1;
  }
  const placed = placedStars(plan);
  return figureStars(catalog, one.name).filter((hip) => !placed.has(hip)).length;
}
