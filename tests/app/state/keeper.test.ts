import { describe, expect, test } from "vitest";
import { type History, presentJob, record, startHistory } from "../../../src/app/state/history.ts";
import { type KeepState, Keeper, storageWords } from "../../../src/app/state/keeper.ts";
import { ChangedElsewhere, GoneFromStore, type JobEntry } from "../../../src/app/state/storage.ts";
import { demoJob } from "../demoJob.ts";

const job = demoJob();
const edited = (history: History, title: string): History =>
  record(history, { name: `Title ${title}`, job: { ...presentJob(history), title } });

/** The store's contract in memory: what IndexedDB does is checked in the browser tests. */
class Shelf {
  readonly kept = new Map<string, { entry: JobEntry; history: History }>();
  failWith: Error | null = null;

  async load(id: string): Promise<{ entry: JobEntry; history: History } | null> {
    await Promise.resolve();
    return this.kept.get(id) ?? null;
  }

  read(): Promise<null> {
    return Promise.resolve(null);
  }

  async save(id: string, after: History, saves: number, nowMs: number): Promise<JobEntry> {
    await Promise.resolve();
    if (this.failWith) throw this.failWith;
    const found = this.kept.get(id);
    if ((found?.entry.saves ?? 0) !== saves) throw found ? new ChangedElsewhere(id) : new GoneFromStore(id);
    const { title, client, room } = presentJob(after);
    const entry: JobEntry = { id, title, client, room, savedAtMs: nowMs, saves: saves + 1, at: after.at };
    this.kept.set(id, { entry, history: after });
    return entry;
  }
}

/** Two ends of one wire between tabs. */
class Wire extends EventTarget {
  others: Wire[] = [];
  postMessage(data: unknown): void {
    for (const other of this.others) other.dispatchEvent(new MessageEvent("message", { data }));
  }
}

function tab(shelf: Shelf, wire: Wire) {
  const log = { states: [] as KeepState[], followed: [] as History[], forked: [] as History[], restored: 0 };
  const keeper = new Keeper(
    shelf,
    (history) => Promise.resolve(history),
    {
      state: (s) => log.states.push(s),
      followed: (h) => log.followed.push(h),
      forked: (_, h) => log.forked.push(h),
      listChanged: () => undefined,
      restored: () => log.restored++,
    },
    wire as unknown as BroadcastChannel,
  );
  return { keeper, log };
}

async function twoTabs() {
  const shelf = new Shelf();
  const [wireA, wireB] = [new Wire(), new Wire()];
  wireA.others = [wireB];
  wireB.others = [wireA];
  const a = tab(shelf, wireA);
  const b = tab(shelf, wireB);
  const start = startHistory(job);
  await a.keeper.begin(start, "job-1");
  const opened = (await b.keeper.open("job-1"))!;
  return { shelf, a, b, start, opened };
}

describe("keeping a job", () => {
  test("every change is saved, in order, the last one wins", async () => {
    const shelf = new Shelf();
    const { keeper, log } = tab(shelf, new Wire());
    let history = startHistory(job);
    await keeper.begin(history, "x");
    for (const title of ["a", "b", "c"]) keeper.keep((history = edited(history, title)));
    await keeper.settled();
    expect(presentJob(shelf.kept.get("x")!.history).title).toBe("c");
    expect(log.states.at(-1)?.kind).toBe("saved");
  });

  test("another tab follows", async () => {
    const { a, b, start } = await twoTabs();
    a.keeper.keep(edited(start, "changed in a"));
    await a.keeper.settled();
    await b.keeper.settled();
    expect(presentJob(b.log.followed.at(-1)!).title).toBe("changed in a");
  });

  test("two tabs changing the same state: both are kept, neither is overwritten", async () => {
    const { shelf, a, b, start, opened } = await twoTabs();
    a.keeper.keep(edited(start, "from a"));
    b.keeper.keep(edited(opened, "from b"));
    await a.keeper.settled();
    await b.keeper.settled();
    const titles = [...shelf.kept.values()].map((k) => k.entry.title).sort();
    expect(titles).toEqual(["from a", "from b (second copy)"]);
    expect(b.log.forked).toHaveLength(1);
    expect(b.keeper.jobId).not.toBe("job-1");
    b.keeper.keep(edited(b.log.forked[0]!, "b goes on"));
    await b.keeper.settled();
    expect([...shelf.kept.values()].map((k) => k.entry.title).sort()).toEqual(["b goes on", "from a"]);
  });

  test("while a thing is dragged the other tab's change waits, and the drag is not lost", async () => {
    const { shelf, a, b, start, opened } = await twoTabs();
    b.keeper.hold(true);
    a.keeper.keep(edited(start, "from a"));
    await a.keeper.settled();
    expect(b.log.followed).toHaveLength(0);
    b.keeper.keep(edited(opened, "dragged in b"));
    b.keeper.hold(false);
    await b.keeper.settled();
    const titles = [...shelf.kept.values()].map((k) => k.entry.title).sort();
    expect(titles).toEqual(["dragged in b (second copy)", "from a"]);
  });

  test("an edit made while a copy is being split off is in the copy", async () => {
    const { shelf, a, b, start, opened } = await twoTabs();
    a.keeper.keep(edited(start, "from a"));
    await a.keeper.settled();
    b.log.followed.length = 0;
    // what is on b's page, as the studio keeps it
    let page = edited(opened, "from b");
    b.log.forked.push = (copy) => ((page = copy), Array.prototype.push.call(b.log.forked, copy));
    b.keeper.keep(page);
    const typing = setInterval(() => b.keeper.keep((page = edited(page, `typed ${page.steps.length}`))), 0);
    await new Promise((done) => setTimeout(done, 60));
    clearInterval(typing);
    await b.keeper.settled();
    expect(page.steps.length).toBeGreaterThan(5);
    const copy = shelf.kept.get(b.keeper.jobId)!.history;
    expect(copy.steps.map((s) => s.name)).toEqual(page.steps.map((s) => s.name));
    expect(presentJob(copy)).toEqual(presentJob(page));
  });

  test("a store that was cleared gets everything again, told or found out", async () => {
    const shelf = new Shelf();
    const { keeper, log } = tab(shelf, new Wire());
    const one = edited(startHistory(job), "one");
    await keeper.begin(one, "x");
    shelf.kept.clear();
    keeper.keep(edited(one, "two"));
    await keeper.settled();
    expect(shelf.kept.get("x")!.history.steps.map((s) => s.job?.title)).toEqual([job.title, "one", "two"]);
    shelf.kept.clear();
    await keeper.lookAgain();
    expect(presentJob(shelf.kept.get("x")!.history).title).toBe("two");
    expect(log.restored).toBe(2);
    expect(log.states.at(-1)?.kind).toBe("saved");
    await keeper.lookAgain();
    expect(log.restored).toBe(2);
    // gone from a storage that is full: nothing is said to be kept again before it is
    shelf.kept.clear();
    shelf.failWith = new DOMException("full", "QuotaExceededError");
    await keeper.lookAgain();
    expect([log.restored, log.states.at(-1)?.kind]).toEqual([2, "failed"]);
    shelf.failWith = null;
    keeper.keep(edited(one, "three"));
    await keeper.settled();
    expect([log.restored, log.states.at(-1)?.kind]).toEqual([3, "saved"]);
  });

  test("a full storage is said, and the next change saves everything", async () => {
    const shelf = new Shelf();
    const { keeper, log } = tab(shelf, new Wire());
    const start = startHistory(job);
    await keeper.begin(start, "x");
    shelf.failWith = new DOMException("full", "QuotaExceededError");
    const one = edited(start, "lost?");
    keeper.keep(one);
    await keeper.settled();
    expect(log.states.at(-1)).toEqual({ kind: "failed", why: "This browser's storage is full." });
    shelf.failWith = null;
    keeper.keep(edited(one, "kept"));
    await keeper.settled();
    expect(shelf.kept.get("x")!.history.steps.map((s) => s.job?.title)).toEqual([job.title, "lost?", "kept"]);
    expect(log.states.at(-1)?.kind).toBe("saved");
  });

  test("a full disk is told from a browser that refuses (words of Chromium 156 on a tmpfs without room)", () => {
    const log = "Connection is closing because of: IO error: .../000003.log: FILE_ERROR_NO_SPACE (ChromeMethodBFE: 3::WritableFileAppend::8)"; // prettier-ignore
    const full = "This browser's storage is full.";
    expect(storageWords(new DOMException(log, "UnknownError"))).toBe(full);
    expect(storageWords(new DOMException("Encountered disk full while committing transaction.", "QuotaExceededError"))).toBe(full); // prettier-ignore
    expect(storageWords(new DOMException("", "UnknownError"))).toMatch(/could not write.*may be full/);
  });

  test("without any storage that is said at the first job", async () => {
    const states: KeepState[] = [];
    const nothing = (): undefined => undefined;
    const keeper = new Keeper(
      null,
      (h) => Promise.resolve(h),
      {
        state: (s) => states.push(s),
        followed: nothing,
        forked: nothing,
        listChanged: nothing,
        restored: nothing,
      },
      null,
    );
    await keeper.begin(startHistory(job), "x");
    expect(states.at(-1)?.kind).toBe("failed");
    expect(storageWords(new DOMException("", "SecurityError"))).toContain("refuses");
  });
});
