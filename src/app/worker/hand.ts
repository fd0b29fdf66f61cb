import { releaseProxy, type Remote, wrap } from "comlink";

/** The questions of a worker as seen from the page: every answer is a promise. */
export type Asked<T> = {
  [K in keyof T]: T[K] extends (...args: infer A) => infer R ? (...args: A) => Promise<Awaited<R>> : never;
};

/** The page's hand on a worker. */
export interface Hand<T> {
  core: Asked<T>;
  /** Ends it, whatever it is at: nothing it was asked is answered any more. */
  stop: () => void;
}

export function handOn<T>(worker: Worker): Hand<T> {
  const remote = wrap<T>(worker);
  return {
    core: remote as unknown as Asked<T>,
    stop: () => {
      (remote as Remote<object>)[releaseProxy]();
      worker.terminate();
    },
  };
}
