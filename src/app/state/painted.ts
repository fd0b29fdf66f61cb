/** A frame that is not out by then is not waited for. */
const LONGEST_MS = 200;

/** The frame that is waited for, by everybody who asks before it begins: to ask the browser for one costs something. */
let next: Promise<void> | null = null;

/** Resolves when what changed has been drawn; at once where nothing is drawn, as in the background. */
export function painted(): Promise<void> {
  if (typeof document === "undefined" || document.hidden) return Promise.resolve();
  next ??= new Promise((done) => {
    const timer = setTimeout(() => {
      next = null;
      done();
    }, LONGEST_MS);
    requestAnimationFrame(() => {
      next = null;
      clearTimeout(timer);
      // what follows a frame's callbacks is the frame itself
      setTimeout(done);
    });
  });
  return next;
}
