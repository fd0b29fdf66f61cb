import { proxy } from "comlink";
import type { MadeFile } from "../worker/api.ts";
import type { Made } from "../worker/making.ts";
import { download } from "./files.ts";
import { say } from "./notices.svelte.ts";

/** One file at a time that is made by a worker and downloaded: how far it is, and why it came to nothing. */
export class Making {
  readonly #topic: string;
  readonly #failed: string;
  now = $state.raw<{ words: string; done: number; total: number } | null>(null);

  /** `topic` is that of its notices, `failed` the sentence for what could not be made. */
  constructor(topic: string, failed: string) {
    this.#topic = topic;
    this.#failed = failed;
  }

  /** Downloads what is made and gives it; null where nothing was, which is said. `words` tell what is being made. */
  async run(
    words: string,
    make: (onProgress: (done: number, total: number) => void) => Promise<Made>,
  ): Promise<MadeFile | null> {
    this.now = { words, done: 0, total: 0 };
    try {
      const made = await make(
        proxy((done: number, total: number) => {
          if (this.now) this.now = { words, done, total };
        }),
      );
      if (!made.ok) {
        if ("stopped" in made) say(this.#topic, "Stopped. Nothing was downloaded.");
        else if ("cannot" in made) say(this.#topic, `${made.cannot.message} ${made.cannot.next}`);
        else say(this.#topic, made.faults[0]?.next ?? this.#failed);
        return null;
      }
      const { name, type, bytes } = made.value;
      download(name, bytes as BlobPart, type);
      return made.value;
    } catch (error) {
      console.error(error);
      say(this.#topic, `${this.#failed} The job itself is kept.`);
      return null;
    } finally {
      this.now = null;
    }
  }
}
