/** A call under way: what it comes to, and how to break it off. */
export interface Running<R> {
  result: Promise<R>;
  stop: () => void;
}

interface Task<R> {
  askers: Set<string>;
  start: () => Running<R>;
  running: Running<R> | null;
  answered: Promise<R | null>;
  done: (result: R | null) => void;
  failed: (error: unknown) => void;
}

/**
 * Slow calls one after another, each under a key and made once, whoever asks for it. An asker wants only what
 * it asked for last: a call that nobody wants any more is dropped, or broken off, and comes to null.
 */
export class OneByOne<R> {
  readonly #tasks = new Map<string, Task<R>>();

  ask(asker: string, key: string, start: () => Running<R>): Promise<R | null> {
    let task = this.#tasks.get(key);
    if (!task) this.#tasks.set(key, (task = newTask(start)));
    task.askers.add(asker);
    this.forget(asker, key);
    return task.answered;
  }

  /** Whatever this asker wants, except what has this key, it wants no more. */
  forget(asker: string, except?: string): void {
    for (const [key, task] of this.#tasks) {
      if (key === except || !task.askers.delete(asker) || task.askers.size > 0) continue;
      this.#tasks.delete(key);
      task.running?.stop();
      task.done(null);
    }
    this.#next();
  }

  #next(): void {
    const [first] = this.#tasks;
    if (!first || [...this.#tasks.values()].some(({ running }) => running)) return;
    const [key, task] = first;
    task.running = task.start();
    const end = (): void => {
      if (this.#tasks.get(key) === task) this.#tasks.delete(key);
      this.#next();
    };
    task.running.result.then(task.done, task.failed).finally(end);
  }
}

function newTask<R>(start: Task<R>["start"]): Task<R> {
  let done: Task<R>["done"] = () => undefined;
  let failed: Task<R>["failed"] = () => undefined;
  const answered = new Promise<R | null>((resolve, reject) => {
    done = resolve;
    failed = reject;
  });
  return { askers: new Set(), start, running: null, answered, done, failed };
}
