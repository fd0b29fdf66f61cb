/**
 * Calls `tell` at most once in `ms`: at once when it has been quiet for so long, else when the time is up; so
 * the last state is always told.
 */
export function seldom(ms: number, tell: () => void): () => void {
  let quiet = true;
  let asked = false;
  const run = (): void => {
    quiet = false;
    asked = false;
    setTimeout(() => {
      quiet = true;
      if (asked) run();
    }, ms);
    tell();
  };
  return () => {
    if (quiet) run();
    else asked = true;
  };
}
