import { expose } from "comlink";

/** The least of a browser's page. */
const PAGE = {
  location: { hash: "" },
  navigator: {},
  matchMedia: () => ({ matches: false }),
  requestAnimationFrame: (show: (nowMs: number) => void) => setTimeout(() => show(performance.now())),
};

/** What a fake worker answers, by the name its client gives it. */
export type Fakes = Record<string, (() => object) | undefined>;

/** Workers started since, by name, and those told to stop. */
export interface Started {
  names: string[];
  stopped: string[];
}

/**
 * Puts workers of a test's own in the place of the browser's: they are asked through real messages, so that what
 * can't be sent fails here as it would there. One that has no fake can't be started.
 */
export function fakeWorkers(fakes: Fakes): Started {
  const started: Started = { names: [], stopped: [] };
  class FakeWorker {
    readonly #page: MessagePort;
    readonly #name: string;

    constructor(_: URL, { name = "" }: WorkerOptions = {}) {
      const make = fakes[name];
      if (!make) throw new Error(`no fake for the worker ${name}`);
      const { port1, port2 } = new MessageChannel();
      // Who is not told whom to ask need not listen.
      expose({ meet: () => undefined, ...make() }, port1);
      this.#page = port2;
      this.#name = name;
      port2.start();
      started.names.push(name);
    }

    postMessage(message: unknown, transfer: Transferable[] = []): void {
      this.#page.postMessage(message, transfer);
    }

    addEventListener(kind: "message", listener: (event: MessageEvent) => void): void {
      this.#page.addEventListener(kind, listener);
    }

    removeEventListener(kind: "message", listener: (event: MessageEvent) => void): void {
      this.#page.removeEventListener(kind, listener);
    }

    terminate(): void {
      started.stopped.push(this.#name);
      this.#page.close();
    }
  }
  for (const [name, value] of Object.entries({ ...PAGE, Worker: FakeWorker }))
    Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });
  return started;
}
