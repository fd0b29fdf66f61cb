import { Recent } from "../../work/recent.ts";

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

/** What is kept of answers. */
interface Keeping<R> {
  /** So many, those used last. */
  most: number;
  worth(result: R): boolean;
}

/**
 * Slow calls one after another, each under a key and made once, whoever asks for it. An asker wants only what
 * it asked for last: a call that nobody wants any more is dropped, or broken off, and comes to null.
 */
export class OneByOne<R> {
  readonly #tasks = new Map<string, Task<R>>();
  readonly #kept: Recent<R>;
  readonly #worth: Keeping<R>["worth"];
  /** Whoever this is does not wait for what others began to wait for earlier. */
  readonly #favoured: string;

  constructor({ most, worth }: Keeping<R> = { most: 0, worth: () => false }, favoured = "") {
    this.#kept = new Recent(most);
    this.#worth = worth;
    this.#favoured = favoured;
  }

  ask(asker: string, key: string, start: () => Running<R>): Promise<R | null> {
    const kept = this.#kept.get(key);
    if (kept !== undefined) {
      this.forget(asker);
      return Promise.resolve(kept);
    }
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

  knows(key: string): boolean {
    return this.#kept.has(key);
  }

  #next(): void {
    const waiting = [...this.#tasks];
    const first = waiting.find(([, { askers }]) => askers.has(this.#favoured)) ?? waiting[0];
    if (!first || waiting.some(([, { running }]) => running)) return;
    const [key, task] = first;
    task.running = task.start();
    const end = (): void => {
      if (this.#tasks.get(key) === task) this.#tasks.delete(key);
      this.#next();
    };
    const answered = (result: R): void => {
      if (this.#worth(result)) this.#kept.set(key, result);
      task.done(result);
    };
    task.running.result.then(answered, task.failed).finally(end);
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
