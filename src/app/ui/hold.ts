/** What a hand does with something from its press on: shows, then keeps what it shows, or leaves all as it was. */
export interface Hold {
  move(event: PointerEvent): void;
  end?(event: PointerEvent): void;
  /** Escape, the system took the pointer away, or what was held is gone: as if nothing had been held. */
  cancel(): void;
}

/** From the press `event` on, until the pointer is lifted. Gives what cancels it. */
export function hold(event: PointerEvent, { move, end, cancel }: Hold): () => void {
  const { pointerId } = event;
  const element = event.currentTarget as Element;
  const over = new AbortController();
  const { signal } = over;
  const on = (name: "pointermove" | "pointerup" | "pointercancel", then: (now: PointerEvent) => void): void =>
    element.addEventListener(name, (now) => (now as PointerEvent).pointerId === pointerId && then(now as PointerEvent), { signal }); // prettier-ignore
  const giveUp = (): void => {
    if (signal.aborted) return;
    over.abort();
    cancel();
  };
  element.setPointerCapture(pointerId);
  on("pointermove", move);
  on("pointerup", (now) => {
    over.abort();
    end?.(now);
  });
  on("pointercancel", giveUp);
  // told to the document where the element itself is gone
  document.addEventListener("lostpointercapture", (now) => now.pointerId === pointerId && giveUp(), {
    signal,
    capture: true,
  });
  window.addEventListener("keydown", ({ key }) => key === "Escape" && giveUp(), { signal });
  return giveUp;
}

/** The same for a native slider, which tells of it in its own way. `set` is what a key on it does. */
export interface Slide {
  move(value: number): void;
  end(): void;
  cancel(): void;
  set(value: number): void;
}

/** Follows a slider; for `{@attach}`. */
export function sliding(input: HTMLInputElement, { move, end, cancel, set }: Slide): () => void {
  let hand: "off" | "on" | "given up" = "off";
  let before = input.value;
  const giveUp = (then: typeof hand): void => {
    if (hand !== "on") return;
    hand = then;
    cancel();
    input.value = before;
  };
  const on = (name: string, then: (event: Event) => void): void => input.addEventListener(name, then);
  on("pointerdown", () => {
    hand = "on";
    before = input.value;
  });
  on("input", () => {
    // the pointer is still down, and the browser's slider knows of no Escape
    if (hand === "given up") input.value = before;
    else (hand === "on" ? move : set)(Number(input.value));
  });
  on("change", () => {
    const held = hand === "on";
    hand = "off";
    if (held) end();
  });
  on("pointerup", () => {
    if (hand === "given up") hand = "off";
  });
  on("pointercancel", () => giveUp("off"));
  on("keydown", (event) => (event as KeyboardEvent).key === "Escape" && giveUp("given up"));
  return () => giveUp("off");
}
