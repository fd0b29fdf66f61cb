import { hold } from "../ui/hold.ts";
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
 * the drawing, two pinch, the wheel zooms. Gives what lets go of all that is held, and what takes the listeners away too.
 */
export function routePointers(
  element: HTMLElement | SVGElement,
  uses: PointerUses,
): { giveUp: () => void; off: () => void } {
  const down = new Map<number, { at: PointPx; giveUp: () => void }>();
  let drag: Drag | null = null;
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
    const id = event.pointerId;
    const grip = event.button === 1 ? "" : gripOf(event.target);
    const giveUp = hold(event, {
      move: (now) => onMove(now),
      end: (now) => {
        down.delete(id);
        if (moved) drag?.end(at(now), now);
        else {
          letGo();
          uses.tap(grip, at(now), now);
        }
        drag = null;
      },
      cancel: () => {
        down.delete(id);
        letGo();
      },
    });
    down.set(id, { at: at(event), giveUp });
    if (down.size > 1) {
      letGo();
      moved = true;
      return;
    }
    start = at(event);
    moved = false;
    drag = event.button === 1 ? null : uses.press(grip, start, event);
  };

  const onMove = (event: PointerEvent): void => {
    const finger = down.get(event.pointerId)!;
    const before = finger.at;
    const now = at(event);
    if (down.size === 2) {
      const other = [...down].find(([id]) => id !== event.pointerId)?.[1].at ?? now;
      pinch(before, now, other);
      finger.at = now;
      return;
    }
    if (!moved && distance(start, now) < TREMBLE_PX) return;
    const last = moved ? before : start;
    moved = true;
    finger.at = now;
    if (drag) drag.move(now, event);
    else uses.pan(now[0] - last[0], now[1] - last[1]);
  };

  const pinch = (before: PointPx, now: PointPx, other: PointPx): void => {
    const factor = distance(now, other) / Math.max(1, distance(before, other));
    uses.pan((now[0] - before[0]) / 2, (now[1] - before[1]) / 2);
    uses.zoom(factor, [(now[0] + other[0]) / 2, (now[1] + other[1]) / 2]);
  };

  const onWheel = (event: WheelEvent): void => {
    event.preventDefault();
    const px = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? event.deltaY * 20 : event.deltaY;
    uses.zoom(Math.exp(-px * (event.ctrlKey ? 6 : 1) * ZOOM_PER_WHEEL_PX), at(event));
  };

  element.addEventListener("pointerdown", onDown as EventListener);
  element.addEventListener("wheel", onWheel as EventListener, { passive: false });
  const giveUp = (): void => {
    for (const finger of [...down.values()]) finger.giveUp();
  };
  const off = (): void => {
    element.removeEventListener("pointerdown", onDown as EventListener);
    element.removeEventListener("wheel", onWheel as EventListener);
    giveUp();
  };
  return { giveUp, off };
}

/** The grip of the nearest element that has one, or "". */
export function gripOf(target: EventTarget | null): string {
  const element = target instanceof Element ? target.closest("[data-grip]") : null;
  return element?.getAttribute("data-grip") ?? "";
}

function distance(a: PointPx, b: PointPx): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}
