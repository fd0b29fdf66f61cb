import type { Component } from "svelte";
import type { PointMm } from "../../geometry/types.ts";

/** What a part does while something on the ceiling is being dragged; points are on the plan. */
export interface PlanDrag {
  move(at: PointMm, event: PointerEvent): void;
  end(at: PointMm): void;
  cancel(): void;
}

export interface Section {
  id: string;
  title: string;
  /** What the section holds so far, in a few words; shown where it is closed. */
  summary: () => string;
  /** Something in it has to fix before the work can go on. */
  faulty?: () => boolean;
  panel: Component;
}

/**
 * A part of the work (survey, night, pattern, sheets): its sections on the slip, and what it draws and
 * does on the one ceiling. Grips are the `data-grip` words of what it draws, "thing:3".
 */
export interface Part {
  id: string;
  sections: Section[];
  /** Drawn on the ceiling, over the tiles: an SVG fragment in screen pixels. */
  overlay?: Component;
  /** Fills the stage between tiles and fittings instead of the holes (the live sky of the night part). */
  layer?: Component;
  /** Stands in place of the whole ceiling drawing while it gives something (the view from a seat). */
  cover?: () => Component | null;
  /** Stands in place of everything, drawing and slip: a part with a screen of its own. */
  whole?: Component;
  /** Takes hold of a grip ("" is the bare ceiling); null leaves the press to moving the drawing. */
  press?: (grip: string, at: PointMm, event: PointerEvent) => PlanDrag | null;
  /** A press and release on the spot. */
  tap?: (grip: string, at: PointMm) => void;
  /** A key while something with a grip has the focus; true when it was used. */
  key?: (grip: string, event: KeyboardEvent) => boolean;
  /** A hint for the hand, shown on the ceiling; "" for none. */
  hint?: () => string;
}

/** A part in the list of the studio; its code is fetched when it is first opened. */
export interface PartEntry {
  id: string;
  title: string;
  load: () => Promise<Part>;
}
