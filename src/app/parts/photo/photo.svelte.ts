import { proxy } from "comlink";
import type { Side } from "../../../ceiling/flip.ts";
import { fourCorners } from "../../../photo/corners.ts";
import type { Corner } from "../../../photo/darkTest.ts";
import type { JudgedAs } from "../../../photo/findings.ts";
import type { DarkTest, PictureReport } from "../../../photo/types.ts";
import type { Plan } from "../../../plan.ts";
import type { PrintedPicture } from "../../../sheets/photo/sheet.ts";
import { desk } from "../../state/desk.svelte.ts";
import { download, fileName } from "../../state/files.ts";
import { ofOneJob } from "../../state/ofOneJob.ts";
import { workRecord } from "../../state/record.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import type { Hand } from "../../worker/hand.ts";
import { introduced } from "../../worker/makers.ts";
import { paintMarked, type Marked } from "./paintMarked.ts";
import type { PhotoApi } from "./worker/api.ts";

/** A photograph on the desk. */
export interface Shot {
  file: File;
  /** Where the page can show it from. */
  url: string;
  corners: Corner[] | null;
  report: PictureReport | null;
  /** Why it can't be taken at all. */
  refused: string;
  marked: Marked | null;
}

/** Photographs of the ceiling, what they say, and the worker that looks at them. Nothing leaves the machine. */
class Photo {
  shots = $state.raw<Shot[]>([]);
  shown = $state(0);
  test = $state.raw<DarkTest | null>(null);
  /** The ceiling as it was judged. */
  judgedAs: JudgedAs = { record: [], added: [] };
  doing = $state.raw<{ words: string; share: number } | null>(null);
  said = $state("");
  /** Pictures came before the plan was made; they are judged when it is there. */
  waiting = $state(false);
  /** "" is the whole ceiling; else the tile that lies on the bench. */
  tile = $state("");
  side = $state<Side>("face");
  /** Four corners being tapped on the picture that is shown. */
  tapped = $state.raw<{ xPx: number; yPx: number }[] | null>(null);
  #split: typeof desk.split = "both";
  #with = $state.raw<Plan["pattern"] | null>(null);
  #worker: Hand<PhotoApi> | null = null;
  #opened = false;

  readonly shot = $derived<Shot | undefined>(this.shots[this.shown]);
  /** The verdicts are of another plan than the one on the desk. */
  readonly stale = $derived(this.test !== null && this.#with !== (studio.plan?.pattern ?? null));

  constructor() {
    ofOneJob(() => {
      for (const { url } of this.shots) URL.revokeObjectURL(url);
      this.shots = [];
      this.#restart();
      if (this.tapped) this.leaveTapping();
      this.test = this.doing = null;
      this.tile = this.said = "";
      this.waiting = false;
    });
  }

  async add(files: Iterable<File>): Promise<void> {
    const fresh = [...files].map((file): Shot => ({
      file,
      url: URL.createObjectURL(file),
      corners: null,
      report: null,
      refused: "",
      marked: null,
    }));
    if (fresh.length === 0) return;
    this.shown = this.shots.length;
    this.shots = [...this.shots, ...fresh];
    await this.judge();
  }

  /** Judges what is not judged yet; `anew` all of it, with the plan as it is now. */
  async judge(anew = false): Promise<void> {
    const { plan } = studio;
    if (this.doing) return;
    this.waiting = !plan;
    if (!plan) return;
    if (anew) this.#restart();
    this.said = "";
    try {
      this.doing = { words: "Preparing the plan", share: 0 };
      const { core: remote } = (this.#worker ??= startWorker());
      if (!this.#opened) {
        const choice = { side: this.side, tile: this.tile === "" ? null : this.tile };
        const record = workRecord.of(studio.settledJob);
        const open = await remote.open(studio.settledJob, choice, record);
        if (!open.ok) return this.#refuse(open);
        this.#opened = true;
        this.judgedAs = { record: record ?? [], added: open.value };
        this.#with = plan.pattern;
      }
      for (const [at, shot] of this.shots.entries()) {
        if (shot.report !== null || shot.refused !== "") continue;
        const tell = proxy((words: string, share: number) => {
          this.doing = { words: `${shot.file.name}: ${words.toLowerCase()}`, share };
        });
        const judged = await remote.add(at, shot.file, shot.corners, tell);
        if (judged.ok) this.#change(at, { report: judged.value.report });
        else this.#change(at, { refused: "cannot" in judged ? `${judged.cannot.message} ${judged.cannot.next}` : "It can't be read." }); // prettier-ignore
      }
      this.doing = { words: "Marking", share: 0.98 };
      this.test = await remote.result();
      for (const [at, { report, file }] of this.shots.entries()) {
        const svg = report?.placing ? await remote.marks(at) : null;
        if (report && svg !== null) this.#change(at, { marked: await paintMarked(file, svg, report) });
      }
    } catch (error) {
      if (this.#worker === null) return;
      console.error(error);
      this.said = "The picture could not be judged. The job itself is unchanged.";
    } finally {
      this.doing = null;
    }
  }

  stop(): void {
    this.#restart();
    this.doing = null;
    this.said = "Stopped. Nothing was changed.";
  }

  remove(at: number): void {
    URL.revokeObjectURL(this.shots[at]!.url);
    this.shots = this.shots.filter((_, i) => i !== at);
    this.shown = Math.max(0, Math.min(this.shown, this.shots.length - 1));
    void this.#again();
  }

  choose(tile: string, side: Side): void {
    this.tile = tile;
    this.side = side;
    void this.#again();
  }

  /** The picture takes the whole of a phone's screen until its corners are named. */
  startTapping(at: number): void {
    this.shown = at;
    this.tapped = [];
    this.#split = desk.split;
    desk.split = "ceiling";
  }

  leaveTapping(): void {
    this.tapped = null;
    desk.split = this.#split;
  }

  /** A corner tapped on the shown picture; with the fourth it is judged anew by them. */
  tap(xPx: number, yPx: number): void {
    const { plan } = studio;
    if (this.tapped === null || !plan) return;
    this.tapped = [...this.tapped, { xPx, yPx }];
    if (this.tapped.length < 4) return;
    const places = fourCorners(studio.settledJob.ceiling.outlineMm);
    const corners = this.tapped.map((at, i) => ({ ...at, xMm: places[i]![0], yMm: places[i]![1] }));
    this.leaveTapping();
    this.#change(this.shown, { corners, report: null, marked: null });
    void this.judge();
  }

  async save(what: "sheet" | "table" | "marked"): Promise<void> {
    const worker = this.#worker?.core;
    if (!worker || !this.test) return;
    const name = `${fileName(studio.job.title).replace(/\.velarium\.json$/, "")}-dark-test`;
    if (what === "table") return download(`${name}.csv`, await worker.table(), "text/csv");
    if (what === "marked") {
      const { marked } = this.shot ?? {};
      if (marked) download(`${name}-${this.shown + 1}.jpg`, marked.jpeg, "image/jpeg");
      return;
    }
    const pictures: PrintedPicture[] = [];
    for (const { marked, file } of this.shots)
      if (marked) pictures.push({ name: file.name, bytes: new Uint8Array(await marked.jpeg.arrayBuffer()), widthPx: marked.widthPx, heightPx: marked.heightPx }); // prettier-ignore
    download(`${name}.pdf`, (await worker.sheet(pictures)) as BlobPart, "application/pdf");
  }

  async #again(): Promise<void> {
    this.#restart();
    this.test = null;
    this.doing = null;
    if (this.shots.length > 0) await this.judge();
  }

  #restart(): void {
    this.#worker?.stop();
    this.#worker = null;
    this.#opened = false;
    this.shots = this.shots.map((shot) => ({ ...shot, report: null, refused: "", marked: null }));
  }

  #refuse(
    open: { ok: false } & ({ cannot: { message: string; next: string } } | { faults: { next: string }[] }),
  ): void {
    this.said =
      "cannot" in open ? `${open.cannot.message} ${open.cannot.next}` : (open.faults[0]?.next ?? "");
  }

  #change(at: number, change: Partial<Shot>): void {
    this.shots = this.shots.map((shot, i) => (i === at ? { ...shot, ...change } : shot));
  }
}

const startWorker = (): Hand<PhotoApi> =>
  introduced<PhotoApi>(
    "velarium-photo",
    new Worker(new URL("./worker/photo.worker.ts", import.meta.url), {
      type: "module",
      name: "velarium-photo",
    }),
  );

export const photo = new Photo();
