/**
 * Calls a slow function with only the newest of many requests: while one runs, later ones replace each
 * other, and the last is run when it ends. `done` gets answers in order.
 */
export function latest<A, R>(
  run: (input: A) => Promise<R>,
  done: (result: R, input: A) => void,
  failed: (error: unknown) => void,
): (input: A) => void {
  let running = false;
  let waiting: { input: A } | null = null;
  const next = (input: A): void => {
    running = true;
    run(input)
      .then((result) => done(result, input), failed)
      .finally(() => {
        running = false;
        const newest = waiting;
        waiting = null;
        if (newest !== null) next(newest.input);
      });
  };
  return (input) => {
    if (running) waiting = { input };
    else next(input);
  };
}
