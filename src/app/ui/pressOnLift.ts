/**
 * Presses a button among `keys` the moment that a finger is lifted from it. The browser's own click comes some frames
 * later, when no other gesture can follow, and falls on what stands there by then; it is called off.
 */
export function pressOnLift(keys: HTMLElement): () => void {
  const lift = (event: TouchEvent): void => {
    const [touch, second] = event.changedTouches;
    const button = (event.target as Element).closest("button");
    if (!button || !touch || second || event.touches.length > 0 || !event.cancelable) return;
    const { left, right, top, bottom } = button.getBoundingClientRect();
    const { clientX: x, clientY: y } = touch;
    if (x < left || x > right || y < top || y > bottom) return;
    event.preventDefault();
    button.click();
  };
  keys.addEventListener("touchend", lift, { passive: false });
  return () => keys.removeEventListener("touchend", lift);
}
