import type { Bundles } from "../../../bundles/types.ts";
import type { Job } from "../../../job/schema.ts";
import { fixTiles, freeAllTiles } from "../../state/commands/bundlesSharing.ts";
import { studio } from "../../state/studio.svelte.ts";
import { type Cost, costOf } from "./costWords.ts";
import { keyOf, sharing } from "./sharing.svelte.ts";

export interface EngineCost extends Cost {
  letter: string;
}

/** What it costs that a person chose engines for tiles, each way worked out by the solver. */
class Costs {
  #freeKey = "";
  /** What all fixed tiles together cost; null: not worked out. */
  fixed = $state.raw<Cost | null>(null);
  /** For one tile: what each engine would cost. */
  tile = $state.raw<{ name: string; key: string; rows: EngineCost[] } | null>(null);
  working = $state("");

  /** Works out once what the fixed tiles cost. */
  async ofFixed(job: Job): Promise<void> {
    const key = this.#keyNow(job);
    if (key === null || key === this.#freeKey) return;
    this.#freeKey = key;
    this.fixed = null;
    const free = await this.#ask("what the fixed tiles cost", freeAllTiles(job).job);
    if (free && sharing.bundles) this.fixed = costOf(sharing.bundles, free);
    else this.#freeKey = "";
  }

  /** Tries every engine for one tile. */
  async ofTile(job: Job, name: string): Promise<void> {
    const key = this.#keyNow(job);
    if (key === null) return;
    this.tile = { name, key, rows: [] };
    const free = await this.#ask(`${name}, left free`, fixTiles(job, [name], null).job);
    if (!free) return;
    for (const { letter } of job.bundles.engines) {
      const made = await this.#ask(`${name} with engine ${letter}`, fixTiles(job, [name], letter).job);
      if (!made || this.tile?.key !== key || this.tile.name !== name) return;
      this.tile = { name, key, rows: [...this.tile.rows, { letter, ...costOf(made, free) }] };
    }
  }

  /** Whether the tile's costs are those of the job as it stands. */
  holds(job: Job, name: string | null): boolean {
    return this.tile !== null && this.tile.name === name && this.tile.key === this.#keyNow(job);
  }

  async #ask(words: string, job: Job): Promise<Bundles | null> {
    this.working = words;
    const made = await sharing.compare(job).catch(() => null);
    this.working = "";
    return made?.bundles ?? null;
  }

  #keyNow(job: Job): string | null {
    return studio.plan && keyOf(studio.plan, job);
  }
}

export const costs = new Costs();
