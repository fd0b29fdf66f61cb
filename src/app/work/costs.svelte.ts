import { costOfFixing, type FixingCost } from "../../bundles/fixing.ts";
import type { Bundles } from "../../bundles/types.ts";
import type { Job } from "../../job/schema.ts";
import { fixTiles, freeAllTiles } from "../state/commands/bundles/sharing.ts";
import { same } from "../../work/reads.ts";
import { sharing } from "./sharing.svelte.ts";

export interface EngineCost extends FixingCost {
  letter: string;
}

/** What it costs that a person chose engines for tiles, each way worked out by the solver. */
class Costs {
  #fixedOf: Job | null = null;
  /** What all fixed tiles together cost; null: not worked out. */
  fixed = $state.raw<FixingCost | null>(null);
  /** For one tile: what each engine would cost. */
  tile = $state.raw<{ name: string; job: Job; rows: EngineCost[] } | null>(null);
  working = $state("");

  /** Works out once what the fixed tiles cost. */
  async ofFixed(job: Job): Promise<void> {
    if (this.#fixedOf !== null && same("bundles", this.#fixedOf, job)) return;
    this.#fixedOf = job;
    this.fixed = null;
    const free = await this.#ask("what the fixed tiles cost", freeAllTiles(job).job);
    if (free && sharing.bundles) this.fixed = costOfFixing(sharing.bundles, free);
    else this.#fixedOf = null;
  }

  /** Tries every engine for one tile. */
  async ofTile(job: Job, name: string): Promise<void> {
    this.tile = { name, job, rows: [] };
    const free = await this.#ask(`${name}, left free`, fixTiles(job, [name], null).job);
    if (!free) return;
    for (const { letter } of job.bundles.engines) {
      const made = await this.#ask(`${name} with engine ${letter}`, fixTiles(job, [name], letter).job);
      if (!made || this.tile?.job !== job || this.tile.name !== name) return;
      this.tile = { name, job, rows: [...this.tile.rows, { letter, ...costOfFixing(made, free) }] };
    }
  }

  /** Whether the tile's costs are those of the job as it stands. */
  holds(job: Job, name: string | null): boolean {
    return this.tile !== null && this.tile.name === name && same("bundles", this.tile.job, job);
  }

  async #ask(words: string, job: Job): Promise<Bundles | null> {
    this.working = words;
    const made = await sharing.compare(job).catch(() => null);
    this.working = "";
    return made?.bundles ?? null;
  }
}

export const costs = new Costs();
