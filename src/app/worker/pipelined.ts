/**
 * As `latest`, with up to `depth` calls on their way at once: while the page paints one answer the worker is
 * already at the next. Of what is asked beyond that only the newest waits. Answers come in the order of the
 * questions as long as `run` answers in order, which a worker does.
 */
export function pipelined<A, R>(
  depth: number,
  run: (input: A) => Promise<R>,
  done: (result: R, input: A) => void,
  failed: (error: unknown) => void,
): (input: A) => void {
  let underWay = 0;
  let waiting: { input: A } | null = null;
  const next = (input: A): void => {
    underWay++;
    run(input).then(
      (result) => {
        land();
        done(result, input);
      },
      (error: unknown) => {
        land();
        failed(error);
      },
    );
  };
  const land = (): void => {
    underWay--;
    const newest = waiting;
    waiting = null;
    if (newest !== null) next(newest.input);
  };
  return (input) => {
    if (underWay < depth) next(input);
    else waiting = { input };
  };
}
