import type { PointPx } from "./planView.ts";

/** What happens while one finger or the mouse is down on something. */
export interface Drag {
  move(at: PointPx, event: PointerEvent): void;
  end(at: PointPx, event: PointerEvent): void;
  cancel(): void;
}

export interface PointerUses {
  /** What the press takes hold of; null: the drawing itself, to be moved. */
  press(grip: string, at: PointPx, event: PointerEvent): Drag | null;
  /** A press and release without moving. */
  tap(grip: string, at: PointPx, event: PointerEvent): void;
  pan(dxPx: number, dyPx: number): void;
  zoom(factor: number, at: PointPx): void;
}

/** A hand trembles; less than this is no drag. */
const TREMBLE_PX = 4;
const ZOOM_PER_WHEEL_PX = 0.0016;

/**
 * Routes pointers on the drawing: one takes hold of a thing (nearest element with `data-grip`) or moves
 * the drawing, two pinch, the wheel zooms. Returns what takes the listeners away again.
 */
export function routePointers(element: HTMLElement | SVGElement, uses: PointerUses): () => void {
  const down = new Map<number, PointPx>();
  let drag: Drag | null = null;
  let grip = "";
  let start: PointPx = [0, 0];
  let moved = false;

  const at = (event: MouseEvent): PointPx => {
    const box = element.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const letGo = (): void => {
    drag?.cancel();
    drag = null;
  };

  const onDown = (event: PointerEvent): void => {
    if (event.pointerType === "mouse" && event.button > 1) return;
    down.set(event.pointerId, at(event));
    element.setPointerCapture(event.pointerId);
    if (down.size > 1) {
      letGo();
      moved = true;
      return;
    }
    start = at(event);
    moved = false;
    grip = event.button === 1 ? "" : gripOf(event.target);
    drag = event.button === 1 ? null : uses.press(grip, start, event);
  };

  const onMove = (event: PointerEvent): void => {
    const before = down.get(event.pointerId);
    if (before === undefined) return;
    const now = at(event);
    if (down.size === 2) {
      const other = [...down].find(([id]) => id !== event.pointerId)?.[1] ?? now;
      pinch(before, now, other);
      down.set(event.pointerId, now);
      return;
    }
    if (!moved && distance(start, now) < TREMBLE_PX) return;
    const last = moved ? before : start;
    moved = true;
    down.set(event.pointerId, now);
    if (drag) drag.move(now, event);
    else uses.pan(now[0] - last[0], now[1] - last[1]);
  };

  const pinch = (before: PointPx, now: PointPx, other: PointPx): void => {
    const factor = distance(now, other) / Math.max(1, distance(before, other));
    uses.pan((now[0] - before[0]) / 2, (now[1] - before[1]) / 2);
    uses.zoom(factor, [(now[0] + other[0]) / 2, (now[1] + other[1]) / 2]);
  };

  const onUp = (event: PointerEvent): void => {
    if (!down.delete(event.pointerId)) return;
    if (event.type === "pointercancel") letGo();
    else if (moved) drag?.end(at(event), event);
    else {
      letGo();
      uses.tap(grip, at(event), event);
    }
    drag = null;
  };

  const onWheel = (event: WheelEvent): void => {
    event.preventDefault();
    const px = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? event.deltaY * 20 : event.deltaY;
    uses.zoom(Math.exp(-px * (event.ctrlKey ? 6 : 1) * ZOOM_PER_WHEEL_PX), at(event));
  };

  const onKey = (event: KeyboardEvent): void => {
    if (event.key === "Escape" && drag !== null) letGo();
  };

  element.addEventListener("pointerdown", onDown as EventListener);
  element.addEventListener("pointermove", onMove as EventListener);
  element.addEventListener("pointerup", onUp as EventListener);
  element.addEventListener("pointercancel", onUp as EventListener);
  element.addEventListener("wheel", onWheel as EventListener, { passive: false });
  window.addEventListener("keydown", onKey);
  return () => {
    element.removeEventListener("pointerdown", onDown as EventListener);
    element.removeEventListener("pointermove", onMove as EventListener);
    element.removeEventListener("pointerup", onUp as EventListener);
    element.removeEventListener("pointercancel", onUp as EventListener);
    element.removeEventListener("wheel", onWheel as EventListener);
    window.removeEventListener("keydown", onKey);
  };
}

/** The grip of the nearest element that has one, or "". */
export function gripOf(target: EventTarget | null): string {
  const element = target instanceof Element ? target.closest("[data-grip]") : null;
  return element?.getAttribute("data-grip") ?? "";
}

function distance(a: PointPx, b: PointPx): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}
