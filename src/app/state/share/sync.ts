import type { Entry } from "../../../record/entry.ts";
import { unheard } from "../../../record/record.ts";

/** How this device stands to the others that share the job. */
export type Standing =
  | { kind: "joining" }
  | { kind: "together"; others: number; waiting: number }
  /** Nobody can be reached; goes on, and catches up later. `waiting`: entries that the others lack, where that is known. */
  | { kind: "alone"; waiting: number }
  /** The computer that shares the job says no, in these words. */
  | { kind: "refused"; why: string };

/** What the job's computer has said no to; asking again does not help. */
export class Refused extends Error {
  readonly status: number;
  constructor(status: number, words: string) {
    super(words);
    this.status = status;
  }
}

/** The record on this device. */
interface OwnRecord {
  entries(): readonly Entry[];
  /** Takes over what others did; kept when it comes back. */
  add(entries: readonly Entry[]): Promise<void>;
}

interface SyncEvents {
  standing(standing: Standing): void;
  /** The design was changed on its desk; comes at the start too. */
  design(number: number): Promise<void>;
}

/** `fetch`, or what stands for it. */
type Ask = (path: string, init: RequestInit) => Promise<Response>;

interface News {
  log: string;
  start: number;
  from: number;
  of: number;
  design: number;
  others: number;
  entries: Entry[];
}

/** Of entries told at once; the other side takes more. */
const MOST_CHARACTERS = 500_000;
/** A question for news is answered after 20 s at the latest; who hears nothing for longer is alone. */
const NEWS_MS = 30_000;
const ANSWER_MS = 15_000;
const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 10_000;

/**
 * Keeps this device's record of one job and the one on the computer that shares it alike: hears what others did as
 * soon as they did it, tells what was done here, goes on alone when nobody answers, and catches up later. Nothing of
 * where it stood is kept: whoever starts hears the whole record and tells what is missing from it.
 */
export class Sync {
  private readonly path: string;
  private readonly record: OwnRecord;
  private readonly events: SyncEvents;
  private readonly ask: Ask;
  private readonly over = new AbortController();
  /** Heard from this log, as long as its beginning is not yet joined to this device's record. */
  private heard: Entry[] | null = [];
  private log = "";
  private from = 0;
  private design = 0;
  private others = 0;
  /** Done here and not yet told. */
  private queue: Entry[] = [];
  private telling = false;
  /** Why the computer that shares the job does not take what was done here. */
  private no = "";
  /** Nobody answers; the next answer is wanted at once, news or not. */
  private out = true;
  private failures = 0;
  /** What was asked was broken off to ask at once. */
  private hurry = false;
  private fromZero = false;
  private asking: AbortController | null = null;
  private wake: () => void = () => undefined;

  constructor(
    jobId: string,
    record: OwnRecord,
    events: SyncEvents,
    ask: Ask = (path, init) => fetch(path, init),
  ) {
    this.path = `/share/jobs/${encodeURIComponent(jobId)}`;
    this.record = record;
    this.events = events;
    this.ask = ask;
  }

  /** Goes on until it is stopped, or refused for good. */
  async run(): Promise<void> {
    this.events.standing({ kind: "joining" });
    while (!this.over.signal.aborted) {
      try {
        if (this.fromZero) [this.fromZero, this.log, this.from] = [false, "", 0];
        await this.hear();
        [this.out, this.failures] = [false, 0];
        this.say();
        void this.tell();
      } catch (error) {
        if (this.over.signal.aborted) return;
        if (this.hurry) {
          this.hurry = false;
          continue;
        }
        if (error instanceof Refused && !isPassing(error.status))
          return this.events.standing({ kind: "refused", why: error.message });
        await this.alone();
      }
    }
  }

  stop(): void {
    this.over.abort();
    this.asking?.abort();
    this.wake();
  }

  /** Something was done here. */
  did(entries: readonly Entry[]): void {
    // until the log's beginning is joined, these are found with all the others
    if (this.heard === null) this.queue.push(...entries);
    this.no = "";
    this.say();
    void this.tell();
  }

  /** Entries of others came by another way: looks once more for what the log lacks. */
  lookAgain(): void {
    this.fromZero = true;
    this.tryNow();
  }

  /** The network is back, or the page is looked at again: asks at once, whatever it was waiting for. */
  tryNow(): void {
    this.failures = 0;
    [this.out, this.hurry] = [true, this.asking !== null];
    this.lost();
    this.wake();
  }

  /** The network is gone: what was asked will not be answered. */
  lost(): void {
    this.asking?.abort();
  }

  private async hear(): Promise<void> {
    const { log, from, design } = this;
    const others = this.out ? "" : `${this.others}`;
    const query = new URLSearchParams({ log, from: `${from}`, design: `${design}`, others });
    this.asking = new AbortController();
    const news = (await this.asked(`/news?${query}`, {}, NEWS_MS, this.asking)) as News;
    this.asking = null;
    // by now another job may be open
    this.over.signal.throwIfAborted();
    if (news.log !== log || news.start !== from) this.heard = [];
    if (news.entries.length > 0) await this.record.add(news.entries);
    this.heard?.push(...news.entries);
    [this.log, this.from, this.others] = [news.log, news.from, news.others];
    if (this.heard !== null && news.from >= news.of) {
      this.queue = unheard(this.heard, this.record.entries());
      this.heard = null;
    }
    if (news.design !== design) {
      await this.events.design(news.design);
      this.design = news.design;
    }
  }

  private async tell(): Promise<void> {
    if (this.telling || this.no !== "") return;
    this.telling = true;
    try {
      while (this.queue.length > 0 && this.heard === null && !this.over.signal.aborted) {
        const { log } = this;
        const now = firstOf(this.queue);
        const body = JSON.stringify({ entries: now });
        const headers = { "Content-Type": "application/json" };
        await this.asked("/entries", { method: "POST", body, headers }, ANSWER_MS, new AbortController());
        // another log has begun meanwhile: what it lacks is found then
        if (this.log !== log) return;
        const told = new Set(now);
        this.queue = this.queue.filter((entry) => !told.has(entry));
        this.say();
      }
    } catch (error) {
      if (error instanceof Refused && !isPassing(error.status)) {
        this.no = error.message;
        this.say();
      }
      // the question for news finds out when somebody answers again, and then this is told
      else this.lost();
    } finally {
      this.telling = false;
    }
  }

  private async asked(path: string, init: RequestInit, ms: number, abort: AbortController): Promise<unknown> {
    const late = setTimeout(() => abort.abort(), ms);
    try {
      const response = await this.ask(this.path + path, { ...init, signal: abort.signal });
      const body = (await response.json()) as { words?: string };
      if (!response.ok) throw new Refused(response.status, body.words ?? "");
      return body;
    } finally {
      clearTimeout(late);
    }
  }

  private say(): void {
    const waiting = this.queue.length;
    if (this.no !== "") this.events.standing({ kind: "refused", why: this.no });
    else if (this.out && this.failures > 0) this.events.standing({ kind: "alone", waiting });
    else if (this.log !== "") this.events.standing({ kind: "together", others: this.others, waiting });
  }

  private async alone(): Promise<void> {
    this.asking = null;
    this.out = true;
    this.failures++;
    this.say();
    const ms = Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** (this.failures - 1));
    await new Promise<void>((done) => {
      const timer = setTimeout(done, ms);
      this.wake = () => {
        clearTimeout(timer);
        done();
      };
    });
  }
}

/** Not shared just now, too many questions, a full disk or a fault there pass; a no stays one. */
const isPassing = (status: number): boolean => status === 404 || status === 429 || status >= 500;

/** As many as go in one telling; one at least. */
function firstOf(queue: readonly Entry[]): Entry[] {
  let characters = 0;
  const end = queue.findIndex((entry) => (characters += JSON.stringify(entry).length) > MOST_CHARACTERS);
  return queue.slice(0, end === -1 ? queue.length : Math.max(1, end));
}
