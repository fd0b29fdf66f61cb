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

/** The one ceiling drawing's camera: shared by the stage and by every part that draws on it. */
class StageView {
  #camera = $state.raw<Omit<PlanView, "side">>({ pxPerMm: 0.1, centreMm: [0, 0], widthPx: 0, heightPx: 0 });
  #box: BoxMm = { min: [0, 0], max: [1, 1] };
  #margins: Margins = { top: 60, right: 60, bottom: 60, left: 60 };
  /** The whole ceiling is in sight and stays so until the person moves the drawing. */
  whole = $state(true);

  readonly camera = $derived<PlanView>({ ...this.#camera, side: desk.side });
  readonly transform = $derived(planTransform(this.camera));

  toScreen(point: PointMm): PointPx {
    return toScreen(this.camera, point);
  }

  toPlan(point: PointPx): PointMm {
    return toPlan(this.camera, point);
  }

  setSize(widthPx: number, heightPx: number, margins: Margins): void {
    this.#margins = margins;
    this.#camera = { ...this.#camera, widthPx, heightPx };
    if (this.whole) this.fit();
  }

  /** The box of the room; the drawing follows it as long as the whole is in sight. */
  setBox(box: BoxMm): void {
    this.#box = box;
    if (this.whole) this.fit();
  }

  fit(): void {
    this.whole = true;
    this.#camera = fitted({ ...this.#camera, side: desk.side }, this.#box, this.#margins);
  }

  zoom(factor: number, at?: PointPx): void {
    this.whole = false;
    const { widthPx, heightPx } = this.#camera;
    this.#camera = zoomed(this.camera, factor, at ?? [widthPx / 2, heightPx / 2]);
  }

  pan(dxPx: number, dyPx: number): void {
    this.whole = false;
    this.#camera = panned(this.camera, dxPx, dyPx);
  }

  /** Turns the ceiling over about the middle of the drawing. */
  look(side: Side): void {
    desk.side = side;
    if (this.whole) this.fit();
  }
}

export const stage = new StageView();
