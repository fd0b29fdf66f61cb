/** A frame that is not out by then is not waited for. */
const LONGEST_MS = 200;

/** Resolves when what changed has been drawn; at once where nothing is drawn, as in the background. */
export function painted(): Promise<void> {
  if (typeof document === "undefined" || document.hidden) return Promise.resolve();
  return new Promise((done) => {
    const timer = setTimeout(done, LONGEST_MS);
    requestAnimationFrame(() => {
      clearTimeout(timer);
      // what follows a frame's callbacks is the frame itself
      setTimeout(done);
    });
  });
}
