/** What happens while a pointer holds something outside the ceiling's drawing, which has `stage/pointers.ts`. */
export interface Hold {
  move(event: PointerEvent): void;
  end?(event: PointerEvent): void;
  /** Escape, or the system took the pointer away: as if nothing had been held. */
  cancel(): void;
}

/** From the press `event` on, until the pointer is lifted. */
export function hold(event: PointerEvent, { move, end, cancel }: Hold): void {
  const element = event.currentTarget as HTMLElement;
  const over = new AbortController();
  const { signal } = over;
  const on = (name: "pointermove" | "pointerup" | "pointercancel", then: (now: PointerEvent) => void): void =>
    element.addEventListener(name, (now) => now.pointerId === event.pointerId && then(now), { signal });
  const finish = (then?: () => void): void => {
    over.abort();
    then?.();
  };
  element.setPointerCapture(event.pointerId);
  on("pointermove", move);
  on("pointerup", (now) => finish(() => end?.(now)));
  on("pointercancel", () => finish(cancel));
  window.addEventListener("keydown", ({ key }) => key === "Escape" && finish(cancel), { signal });
}
