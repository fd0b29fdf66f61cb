import type { Fault } from "../../../job/faults.ts";
import type { Job } from "../../../job/schema.ts";
import { tellsOtherwise } from "../../../record/entry.ts";
import { Making } from "../../state/making.svelte.ts";
import { ofOneJob } from "../../state/ofOneJob.ts";
import { workRecord } from "../../state/record.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import { latest } from "../../worker/latest.ts";
import type { Recorded, SheetsSummary, SheetsOrder } from "./worker/api.ts";
import { sheetsCore } from "./worker/client.ts";
import { type Download, marksOf } from "./stale.ts";

/** The sheets of the open job as the worker has it, the page being looked at, and what has been downloaded. */
class SheetSet {
  #followed: Job | null = null;
  /** How much the record had told of holes otherwise than planned when the pages were laid out. */
  #told = 0;
  #pageUrl = "";
  summary = $state.raw<SheetsSummary | null>(null);
  /** Whose pages the summary tells of. */
  job = $state.raw<Job | null>(null);
  faults = $state.raw<Fault[]>([]);
  cannot = $state("");
  page = $state(0);
  /** An image of the page, or "" while it is being drawn. */
  image = $state("");
  /** Which page it shows: while the next is being drawn, still the one before. */
  imageOf = $state(0);
  /** False while the image lacks the engines, which take a few seconds to work out. */
  imageWhole = $state(true);
  /** The tile chosen for a download of its own. */
  tile = $state("");
  readonly #making = new Making("sheets", "The sheets could not be made.");
  downloads = $state.raw<Download[]>([]);

  constructor() {
    ofOneJob(() => {
      this.downloads = [];
      this.page = 0;
    });
  }

  get making(): Making["now"] {
    return this.#making.now;
  }

  readonly pages = $derived(this.summary?.pages ?? []);
  readonly entry = $derived(this.pages[Math.min(this.page, this.pages.length - 1)] ?? null);
  /** The summary is of the job as it stands. */
  readonly fresh = $derived(this.job !== null && this.job === studio.settledJob);

  /** Works the pack out again when the job has changed, or what the record tells of its holes. */
  follow(job: Job): void {
    const record = workRecord.of(job);
    const told = record?.filter(tellsOtherwise).length ?? 0;
    if (job === this.#followed && told === this.#told) return;
    [this.#followed, this.#told] = [job, told];
    this.#open({ job, record });
  }

  show(index: number): void {
    this.page = Math.min(Math.max(0, index), Math.max(0, this.pages.length - 1));
    if (this.summary) this.#draw({ index: this.page, whole: false });
  }

  /** First page of a tile, on the side looked at where there is one. */
  showTile(name: string): boolean {
    const side = this.entry?.side ?? this.job?.sheets.sides[0];
    const found = (sided: boolean): number =>
      this.pages.findIndex((p) => p.tile === name && (!sided || p.side === side));
    const index = found(true) >= 0 ? found(true) : found(false);
    if (index >= 0) this.show(index);
    return index >= 0;
  }

  async make(order: SheetsOrder, words: string): Promise<void> {
    const { job, summary } = this;
    const { jobId } = studio;
    if (this.making || job === null || summary === null) return;
    const made = await this.#making.run(words, (onProgress) =>
      sheetsCore().make(order, workRecord.of(job), onProgress),
    );
    if (!made || studio.jobId !== jobId) return;
    const { name, warnings } = made;
    const entry = { name, order, job, marks: marksOf(summary), at: new Date(), warnings };
    this.downloads = [entry, ...this.downloads.filter((d) => d.name !== name)];
  }

  stop(): void {
    void sheetsCore().stop();
  }

  readonly #open = latest(
    ({ job, record }: { job: Job; record: Recorded }) => sheetsCore().open(job, record),
    (answer, { job }) => {
      this.faults = !answer.ok && "faults" in answer ? answer.faults : [];
      this.cannot = !answer.ok && "cannot" in answer ? `${answer.cannot.message} ${answer.cannot.next}` : "";
      this.summary = answer.ok ? answer.value : null;
      this.job = job;
      if (!answer.ok) return;
      const { tiles } = answer.value;
      if (!tiles.some((t) => t.name === this.tile)) this.tile = tiles[0]?.name ?? "";
      this.page = Math.min(this.page, answer.value.pages.length - 1);
    },
    (error) => {
      console.error(error);
      this.#followed = null;
      this.cannot = "The sheets could not be drawn. Open this part again to try once more.";
    },
  );

  readonly #draw = latest(
    ({ index, whole }: { index: number; whole: boolean }) => sheetsCore().page(index, whole),
    (drawn, { index }) => {
      if (index !== this.page) return;
      URL.revokeObjectURL(this.#pageUrl);
      this.#pageUrl =
        drawn === null ? "" : URL.createObjectURL(new Blob([drawn.svg], { type: "image/svg+xml" }));
      this.image = this.#pageUrl;
      this.imageOf = index;
      this.imageWhole = drawn?.whole ?? true;
      if (!this.imageWhole) this.#draw({ index, whole: true });
    },
    (error) => console.error(error),
  );
}

export const sheetSet = new SheetSet();
