import { keyOf, stagesOf, type NeedsOf, type PrintName, type RowName } from "./reads.ts";
import { Recent } from "./recent.ts";
import type { Chosen, Given, Stage, StageName, Tools } from "./stage.ts";
import { TABLE } from "./table.ts";
import { jobWarnings } from "./warnings.ts";

type Table = typeof TABLE;
/** What a printed thing is asked for with, and what comes of it. */
export type How<P extends PrintName> = Parameters<Table[P]["make"]>[2];
export type Printed<P extends PrintName> = Awaited<ReturnType<Table[P]["make"]>>;
/** A job worked out as far as some stage. */
export type UpTo<N extends StageName> = Given<N | NeedsOf<N>>;

/** Who waits for a piece of work. */
export interface Watch {
  /** Told what is being done before anything that takes long. */
  progress?(words: string): void;
  /** Stops between stages with its own reason. */
  signal?: AbortSignal;
}

type AnyStage = Stage<never, unknown, unknown, unknown>;
const rowOf = (name: RowName): AnyStage => TABLE[name] as unknown as AnyStage;

/**
 * The way from a job to whatever is shown or printed, for both shells. What a stage made is kept and given again
 * as long as nothing that it reads has changed; whoever asks while it is being made waits for the same result.
 */
export class Work {
  readonly #tools: Tools;
  readonly #kept: Recent<Promise<unknown>>;

  /** `most`: so many results are kept, those used last. */
  constructor(tools: Tools, most: number) {
    this.#tools = tools;
    this.#kept = new Recent(most);
  }

  /** Works a checked job out as far as a stage. Throws JobFaults, CannotDo, or the signal's reason. */
  async upTo<N extends StageName>(chosen: Chosen, name: N, watch: Watch = {}): Promise<UpTo<N>> {
    return (await this.#make(chosen, stagesOf(chosen, name), watch)) as UpTo<N>;
  }

  /** Makes a printed thing. Throws as `upTo` does. */
  async print<P extends PrintName>(
    chosen: Chosen,
    name: P,
    how: How<P>,
    watch: Watch = {},
  ): Promise<Printed<P>> {
    const row = rowOf(name);
    const loading = ahead(row, this.#tools, chosen);
    const given = await this.#make(chosen, stagesOf(chosen, name), watch);
    watch.progress?.(row.words);
    watch.signal?.throwIfAborted();
    return (await row.make(given as Given<never>, await loading, how)) as Printed<P>;
  }

  async #make(chosen: Chosen, names: readonly StageName[], watch: Watch): Promise<Given<StageName>> {
    const keys = new Map(names.map((name) => [name, keyOf(chosen, name)]));
    const missing = names.filter((name) => !this.#kept.has(keys.get(name)!));
    const elsewhere: Partial<Record<StageName, (chosen: Chosen) => Promise<unknown>>> =
      this.#tools.elsewhere ?? {};
    const here = missing.filter((name) => !elsewhere[name]);
    const loading = new Map(here.map((name) => [name, ahead(rowOf(name), this.#tools, chosen)]));
    const { signal } = watch;
    const given = { ...chosen, warnings: { job: jobWarnings(chosen.job) } } as Given<StageName>;
    if (signal) given.stop = () => signal.throwIfAborted();
    for (const name of names) {
      signal?.throwIfAborted();
      const row = rowOf(name);
      const key = keys.get(name)!;
      let value = this.#kept.get(key);
      if (!value) {
        watch.progress?.(row.words);
        value =
          elsewhere[name]?.(chosen) ??
          Promise.resolve(loading.get(name)).then((loaded) =>
            row.make(given as Given<never>, loaded, undefined),
          );
        this.#kept.set(key, value);
        value.catch(() => this.#kept.delete(key));
      }
      Object.assign(given, { [name]: await value });
      given.warnings[name] = row.warnings?.(given as Given<never>, given[name]) ?? [];
    }
    return given;
  }
}

/** Loads what a row needs; nobody may come to wait for it, as the work before it may fail. */
function ahead(row: AnyStage, tools: Tools, chosen: Chosen): Promise<unknown> {
  const loading = (async () => row.load(tools, chosen))();
  loading.catch(() => undefined);
  return loading;
}
