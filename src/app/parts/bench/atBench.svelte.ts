import type { Side } from "../../../ceiling/flip.ts";
import { holdsByTile } from "../../../ceiling/holds.ts";
import type { Tile } from "../../../ceiling/types.ts";
import type { Hole } from "../../../pattern/types.ts";
import { type Entry, type HoleRef, isHoleStep, type Step, type TileStep } from "../../../record/entry.ts";
import {
  type BenchHole,
  benchHoles,
  holesLeft,
  hoursEach,
  piecesOfTile,
  stepDone,
  stepsOf,
  type TileWork,
} from "../../../record/progress.ts";
import { pauseAfterMs } from "../../../record/rates.ts";
import { holeTick, type Stamp, tileTick, undo } from "../../../record/say.ts";
import { tileOf } from "../../../record/state.ts";
import { punched } from "../../state/punched.svelte.ts";
import { workRecord } from "../../state/record.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import { sharing } from "../../work/sharing.svelte.ts";
import { ofOneJob } from "../../state/ofOneJob.ts";

export type View = "board" | "tile" | "light";

/** The tile on the bench, the step in hand, and the clock of this pair of hands. What happened is in `workRecord`. */
class AtBench {
  view = $state<View>("board");
  name = $state("");
  side = $state<Side>("back");
  step = $state<Step>("punched");
  /** The drawing shows what lies round the next hole, not the whole tile. */
  closer = $state(false);
  /** The tile's holes are shown as a list of numbers. */
  listed = $state(false);
  /** The hole whose story is open. */
  picked = $state<HoleRef | null>(null);
  /** What was told here last, the newest at the end: what Undo takes back. */
  told = $state.raw<readonly { words: string; entries: readonly Entry[] }[]>([]);
  /** The present stretch of work: its first tick, its last, and the pieces done between. */
  stretch = $state.raw<{ step: Step; fromMs: number; toMs: number; pieces: number } | null>(null);

  /** Holes as they were shown last, by tile; nothing shown depends on it. */
  readonly #shown = new Map<string, readonly BenchHole[]>();
  readonly #holesOf = $derived.by(() => {
    const found: Record<string, Hole[]> = {};
    for (const hole of punched.holes) (found[hole.tile] ??= []).push(hole);
    return found;
  });
  readonly #tailsOf = $derived.by(() => {
    const found: Record<string, number> = {};
    for (const { tile } of sharing.bundles?.tails ?? []) found[tile] = (found[tile] ?? 0) + 1;
    return found;
  });
  readonly holds = $derived(studio.plan ? holdsByTile(studio.plan.ceiling) : null);
  /** Tiles that somebody has something to do on. */
  readonly tiles = $derived(
    (studio.plan?.ceiling.tiles ?? []).filter((tile) => stepsOf({ use: tile.use, holes: [] }).length > 0),
  );
  readonly tile = $derived(this.tiles.find(({ name }) => name === this.name) ?? null);
  readonly work = $derived(this.tile ? this.workOf(this.tile) : null);
  readonly steps = $derived(this.work ? stepsOf(this.work) : []);
  /** The step in hand is done hole by hole. */
  readonly ofHoles = $derived(isHoleStep(this.step));
  /** Holes that the step is still to be done on, in the order in which they are walked. */
  readonly left = $derived<readonly BenchHole[]>(
    this.work && isHoleStep(this.step) ? holesLeft(this.work.holes, this.step) : [],
  );
  readonly next = $derived<BenchHole | null>(this.left[0] ?? null);
  readonly done = $derived(this.work !== null && stepDone(this.work, this.step));
  /** The last step of this tile is done too. */
  readonly allDone = $derived(this.done && this.steps.at(-1) === this.step);

  constructor() {
    ofOneJob(() => {
      this.view = "board";
      this.name = "";
      this.told = [];
      this.picked = this.stretch = null;
    });
  }

  workOf(tile: Tile): TileWork {
    const state = workRecord.tile(tile.name);
    const holes = benchHoles(this.#holesOf[tile.name] ?? [], state, this.#shown.get(tile.name));
    this.#shown.set(tile.name, holes);
    const { minX, maxX, minY, maxY } = tile.box;
    return {
      use: tile.use,
      areaM2: ((maxX - minX) / 1e6) * ((maxY - minY) / 1e6),
      holes,
      tails: this.#tailsOf[tile.name] ?? 1,
      state,
    };
  }

  /** Puts a tile on the bench, at the first step that is not done. */
  open(name: string): void {
    this.name = name;
    this.view = "tile";
    this.picked = null;
    this.onward();
    history.replaceState(null, "", `#bench=${encodeURIComponent(name)}`);
  }

  board(): void {
    this.view = "board";
    this.picked = null;
    history.replaceState(null, "", "#bench");
  }

  /** To the first step that is not done. */
  onward(): void {
    const { work } = this;
    if (work) this.step = this.steps.find((step) => !stepDone(work, step)) ?? this.steps.at(-1) ?? "hung";
  }

  /** Ticks the step on the next so many holes; on the tile where the step is one of the tile. */
  tick(count: number): void {
    if (!isHoleStep(this.step)) this.#tickTile(this.step);
    else this.tickHoles(this.left.slice(0, count).map(({ ref }) => ref));
  }

  tickHoles(refs: readonly HoleRef[]): void {
    const { work, step } = this;
    if (!work || !isHoleStep(step) || refs.length === 0) return;
    const names = work.holes.filter(({ ref }) => refs.includes(ref)).map(({ name }) => name);
    const words = names.length === 1 ? `hole ${names[0]} ${step}` : `${names.length} holes ${step}`;
    this.tell(holeTick(this.stampNow(), this.name, step, refs, work.state), words);
  }

  #tickTile(step: TileStep): void {
    if (!this.done) this.tell(tileTick(this.stampNow(), this.name, step), `${this.name} ${step}`);
  }

  /** Something is told of the tile on the bench; it can be taken back. */
  tell(entry: Entry, words: string): void {
    workRecord.tell(entry);
    this.told = [...this.told.slice(-49), { words, entries: [entry] }];
    this.#clock(entry);
  }

  /** Something is told of an engine; it can be taken back on the board. */
  tellEngine(entry: Entry, words: string): void {
    workRecord.tell(entry);
    this.told = [...this.told.slice(-49), { words, entries: [entry] }];
  }

  /** A step of whole tiles is done on many of them. */
  tickTiles(names: readonly string[], step: TileStep): void {
    const entries = names.map((name) => tileTick(this.stampNow(name), name, step));
    workRecord.tell(...entries);
    this.told = [...this.told.slice(-49), { words: `${names.length} tiles ${step}`, entries }];
  }

  takeBack(): void {
    const last = this.told.at(-1);
    if (!last) return;
    this.told = this.told.slice(0, -1);
    for (const entry of last.entries)
      workRecord.tell(undo(this.stampNow(tileOf(entry)), tileOf(entry), [entry]));
    const { stretch } = this;
    if (!stretch) return;
    const counted = last.entries.filter(({ what }) => what === stretch.step);
    const pieces = counted.reduce((sum, entry) => sum + this.piecesOf(entry), 0);
    this.stretch = { ...stretch, pieces: Math.max(0, stretch.pieces - pieces) };
  }

  stampNow(tile = this.name): Stamp {
    return workRecord.stamp(this.issued(tile)?.revision ?? studio.job.revision);
  }

  /** How a tile was issued; undefined where it was not: then a change of the job may still move its holes. */
  issued(tile: string): { revision: number } | undefined {
    return studio.job.issued?.tiles.find((entry) => entry.tile === tile);
  }

  /** How many holes, strands, tails or tiles a tick stands for. */
  piecesOf(entry: Entry): number {
    const tile = "tile" in entry ? this.tiles.find(({ name }) => name === entry.tile) : undefined;
    if (!tile) return 1;
    const planned = this.#holesOf[tile.name] ?? [];
    if (!isHoleStep(entry.what))
      return piecesOfTile(entry.what as Step, { holes: planned, tails: this.#tailsOf[tile.name] ?? 1 });
    const holes = "holes" in entry ? (entry.holes ?? []) : [];
    if (entry.what === "punched") return holes.length;
    return holes.reduce<number>(
      (sum, ref) => sum + (planned.find((hole) => hole.numberInTile === ref)?.strands ?? 1),
      0,
    );
  }

  #clock(entry: Entry): void {
    const step = entry.what as Step;
    if (!this.steps.includes(step)) return;
    const pieces = this.piecesOf(entry);
    const hours = hoursEach(step, this.work?.areaM2 ?? 0, studio.job.takeoff) * pieces;
    const { stretch } = this;
    const goesOn = stretch && stretch.step === step && entry.atMs - stretch.toMs <= pauseAfterMs(hours);
    this.stretch = goesOn
      ? { ...stretch, toMs: entry.atMs, pieces: stretch.pieces + pieces }
      : { step, fromMs: entry.atMs, toMs: entry.atMs, pieces: 0 };
  }
}

export const atBench = new AtBench();
