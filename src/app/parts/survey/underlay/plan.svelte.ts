import { planKind } from "../../../state/openedPlan.svelte.ts";
import { studio } from "../../../state/studio.svelte.ts";
import { layUnderlay } from "../commands/underlay.ts";
import type { OpenPdf } from "./pdfPage.ts";
import { decoded, LONGEST_PX, pictureOf } from "./planPicture.ts";

/** A plan being fetched from a file, and the PDF whose other pages can still be had. */
class PlanDesk {
  busy = $state("");
  refused = $state("");
  page = $state(1);
  pages = $state(0);
  #name = "";
  #pdf: OpenPdf | null = null;
  #stop = new AbortController();

  /** Reads a file and lays its picture, or its first page, beneath. */
  async open({ name, bytes }: { name: string; bytes: Uint8Array }): Promise<void> {
    this.close();
    this.#name = name;
    const kind = planKind(bytes);
    await this.#work(`Reading ${name}`, async (stop) => {
      if (kind === null) throw new Refused(notOne(name));
      if (kind !== "application/pdf") return this.#lay(await decoded(bytes, kind), name, stop);
      const pdf = await pdfLibrary();
      this.#pdf = await pdf.openPdf(bytes, stop);
      this.pages = this.#pdf.pages;
      await this.#drawPage(1, stop);
    });
  }

  /** Another page of the same PDF. */
  turnTo(page: number): Promise<void> {
    return this.#work(`Drawing page ${page}`, (stop) => this.#drawPage(page, stop));
  }

  /** Stops what is being read; the file is let go. */
  close(): void {
    this.#stop.abort();
    this.#stop = new AbortController();
    this.#pdf?.close();
    this.#pdf = null;
    this.pages = 0;
    this.page = 1;
    this.busy = "";
    this.refused = "";
  }

  async #drawPage(page: number, stop: AbortSignal): Promise<void> {
    if (!this.#pdf) return;
    const canvas = await this.#pdf.draw(page, LONGEST_PX);
    await this.#lay(canvas, this.pages > 1 ? `${this.#name}, page ${page}` : this.#name, stop);
    if (!stop.aborted) this.page = page;
  }

  async #lay(canvas: HTMLCanvasElement, name: string, stop: AbortSignal): Promise<void> {
    const picture = await pictureOf(canvas, name.slice(0, 200));
    if (!stop.aborted) studio.run((job) => layUnderlay(job, picture));
  }

  async #work(words: string, work: (stop: AbortSignal) => Promise<void>): Promise<void> {
    const stop = this.#stop.signal;
    this.busy = words;
    this.refused = "";
    try {
      await work(stop);
    } catch (error) {
      if (stop.aborted) return;
      this.refused = wordsOf(error, this.#name);
    }
    if (!stop.aborted) this.busy = "";
  }
}

export const planDesk = new PlanDesk();

class Refused extends Error {}

const notOne = (name: string): string =>
  `${name} is no PDF and no picture in JPEG, PNG or WebP. Save the plan as one of these, or take a photograph of it.`;

async function pdfLibrary(): Promise<typeof import("./pdfPage.ts")> {
  try {
    return await import("./pdfPage.ts");
  } catch {
    throw new Refused(
      "What reads PDFs is not on this device yet, and could not be fetched. Go online once, or take a photograph of the plan.",
    );
  }
}

function wordsOf(error: unknown, name: string): string {
  if (error instanceof Refused) return error.message;
  if (error instanceof Error && error.name === "PasswordException")
    return `${name} is locked with a password. Save it without one, or take a photograph of the plan.`;
  return `${name} could not be read: it may be damaged. Open it elsewhere and save it again, or take a photograph of the plan.`;
}
