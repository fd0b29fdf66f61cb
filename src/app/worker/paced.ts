/** One more than the one that is due: evens out answers that come early and late. */
const MOST_WAITING = 2;

/**
 * Shows at most one thing in a frame, in the order they came. Two answers of a worker may land within one frame
 * and none in the next: the second then waits for its own frame instead of hiding the first. What comes while
 * the queue is full puts out the oldest, which is `dropped`. `nextFrame` is requestAnimationFrame or its like.
 */
export function paced<T>(
  nextFrame: (show: () => void) => unknown,
  show: (item: T) => void,
  dropped: (item: T) => void,
): (item: T) => void {
  const waiting: T[] = [];
  let called = false;
  const call = (): void => {
    if (called || waiting.length === 0) return;
    called = true;
    nextFrame(() => {
      called = false;
      const [item] = waiting.splice(0, 1) as [T];
      // Called before it is shown: showing may throw, and the rest must still come.
      call();
      show(item);
    });
  };
  return (item) => {
    waiting.push(item);
    if (waiting.length > MOST_WAITING) dropped(waiting.shift()!);
    call();
  };
}
