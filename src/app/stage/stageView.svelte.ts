import type { Side } from "../../ceiling/flip.ts";
import type { PointMm } from "../../geometry/types.ts";
import { desk } from "../state/desk.svelte.ts";
import {
  type BoxMm,
  type PlanView,
  fitted,
  type Margins,
  panned,
  planTransform,
  type PointPx,
  toPlan,
  toScreen,
  zoomed,
} from "./planView.ts";

/** How the one ceiling drawing is looked at: shared by the stage and by every part that draws on it. */
class StageView {
  #planView = $state.raw<Omit<PlanView, "side">>({ pxPerMm: 0.1, centreMm: [0, 0], widthPx: 0, heightPx: 0 });
  #box: BoxMm = { min: [0, 0], max: [1, 1] };
  #margins: Margins = { top: 60, right: 60, bottom: 60, left: 60 };
  /** The whole ceiling is in sight and stays so until the person moves the drawing. */
  whole = $state(true);

  readonly planView = $derived<PlanView>({ ...this.#planView, side: desk.side });
  readonly transform = $derived(planTransform(this.planView));

  toScreen(point: PointMm): PointPx {
    return toScreen(this.planView, point);
  }

  toPlan(point: PointPx): PointMm {
    return toPlan(this.planView, point);
  }

  setSize(widthPx: number, heightPx: number, margins: Margins): void {
    this.#margins = margins;
    this.#planView = { ...this.#planView, widthPx, heightPx };
    if (this.whole) this.fit();
  }

  /** The box of the room; the drawing follows it as long as the whole is in sight. */
  setBox(box: BoxMm): void {
    this.#box = box;
    if (this.whole) this.fit();
  }

  fit(): void {
    this.whole = true;
    this.#planView = fitted({ ...this.#planView, side: desk.side }, this.#box, this.#margins);
  }

  zoom(factor: number, at?: PointPx): void {
    this.whole = false;
    const { widthPx, heightPx } = this.#planView;
    this.#planView = zoomed(this.planView, factor, at ?? [widthPx / 2, heightPx / 2]);
  }

  pan(dxPx: number, dyPx: number): void {
    this.whole = false;
    this.#planView = panned(this.planView, dxPx, dyPx);
  }

  /** Turns the ceiling over about the middle of the drawing. */
  look(side: Side): void {
    desk.side = side;
    if (this.whole) this.fit();
  }
}

export const stage = new StageView();
