import { describe, expect, test } from "vitest";
import { lengthWords } from "../../../src/app/parts/night/seen/lengthWords.ts";
import { Pace } from "../../../src/app/parts/night/sky/pace.ts";
import { OneByOne, type Running } from "../../../src/app/worker/oneByOne.ts";
import { Recent } from "../../../src/work/recent.ts";

/** Calls that end when they are told to. */
function calls() {
  const log: string[] = [];
  const ends = new Map<string, { done: (value: string) => void; fail: (error: Error) => void }>();
  const start = (key: string) => (): Running<string> => {
    log.push(`start ${key}`);
    const result = new Promise<string>((done, fail) => ends.set(key, { done, fail }));
    return { result, stop: () => log.push(`stop ${key}`) };
  };
  return { log, start, end: (key: string) => ends.get(key)!.done(`answer ${key}`), ends };
}
const soon = (): Promise<void> => new Promise((done) => setTimeout(done));

describe("slow calls one by one", () => {
  test("one runs at a time, and one call answers all who ask for the same", async () => {
    const { log, start, end } = calls();
    const queue = new OneByOne<string>();
    const a = queue.ask("left", "a", start("a"));
    const alsoA = queue.ask("right", "a", start("a again"));
    const b = queue.ask("third", "b", start("b"));
    expect(log).toEqual(["start a"]);
    end("a");
    expect([await a, await alsoA]).toEqual(["answer a", "answer a"]);
    await soon();
    expect(log).toEqual(["start a", "start b"]);
    end("b");
    expect(await b).toBe("answer b");
  });
  test("what nobody wants any more is broken off or never begun", async () => {
    const { log, start, end } = calls();
    const queue = new OneByOne<string>();
    const running = queue.ask("scene", "a", start("a"));
    const waiting = queue.ask("wall", "b", start("b"));
    queue.forget("wall");
    expect(await waiting).toBeNull();
    const newer = queue.ask("scene", "c", start("c"));
    expect(await running).toBeNull();
    expect(log).toEqual(["start a", "stop a", "start c"]);
    end("c");
    expect(await newer).toBe("answer c");
  });
  test("a call that somebody else still wants goes on", async () => {
    const { log, start, end } = calls();
    const queue = new OneByOne<string>();
    const mine = queue.ask("scene", "a", start("a"));
    const theirs = queue.ask("board", "a", start("a"));
    queue.forget("scene");
    expect(log).toEqual(["start a"]);
    end("a");
    expect([await mine, await theirs]).toEqual(["answer a", "answer a"]);
  });
  test("an answer worth keeping is given again, so many of them; who is favoured does not wait for others", async () => {
    const { log, start, end } = calls();
    const queue = new OneByOne<string>({ most: 1, worth: (answer) => answer !== "answer bad" }, "hand");
    const first = queue.ask("x", "a", start("a"));
    const second = queue.ask("y", "bad", start("bad"));
    const hand = queue.ask("hand", "c", start("c"));
    end("a");
    expect(await first).toBe("answer a");
    expect(await queue.ask("z", "a", start("a again"))).toBe("answer a");
    await soon();
    expect(log).toEqual(["start a", "start c"]);
    end("c");
    await hand;
    await soon();
    end("bad");
    await second;
    expect([queue.knows("a"), queue.knows("c"), queue.knows("bad")]).toEqual([false, true, false]);
  });
  test("a failure reaches who asked, and the next one runs", async () => {
    const { log, start, end, ends } = calls();
    const queue = new OneByOne<string>();
    const bad = queue.ask("x", "a", start("a"));
    const good = queue.ask("y", "b", start("b"));
    ends.get("a")!.fail(new Error("no"));
    await expect(bad).rejects.toThrow("no");
    await soon();
    end("b");
    expect(await good).toBe("answer b");
    expect(log).toEqual(["start a", "start b"]);
  });
});

test("the values used last are kept, the longest unused goes first", () => {
  const recent = new Recent<number>(2);
  recent.set("a", 1);
  recent.set("b", 2);
  expect(recent.get("a")).toBe(1);
  recent.set("c", 3);
  expect([recent.get("a"), recent.get("b"), recent.get("c")]).toEqual([1, undefined, 3]);
});

describe("whether twinkle keeps up", () => {
  const slowAfter = (pausesMs: number[]): number => {
    const pace = new Pace();
    let now = 0;
    pace.shown(now);
    return pausesMs.findIndex((pause) => pace.shown((now += pause)));
  };
  test("60 and 15 pictures a second do", () => {
    expect(slowAfter(new Array<number>(500).fill(16.7))).toBe(-1);
    expect(slowAfter(new Array<number>(500).fill(66))).toBe(-1);
  });
  test("five a second don't, and it is told within five seconds", () => {
    const first = slowAfter(new Array<number>(100).fill(200));
    expect(first).toBeGreaterThan(10);
    expect(first * 200).toBeLessThan(5000);
  });
  test("one long pause says nothing", () => {
    const pauses = new Array<number>(300).fill(16.7);
    for (const i of [20, 60, 61, 200]) pauses[i] = 8000;
    expect(slowAfter(pauses)).toBe(-1);
  });
});

test("which lengths a picture was made with is told in words", () => {
  const words = (lengths: "usual" | "bundled" | "awaited", usualLengths: number) =>
    lengthWords({ lengths, usualLengths, holes: 100 }, 4);
  expect(words("awaited", 100)).toBe("Strand lengths are being worked out…");
  expect(words("usual", 100)).toBe("Every strand taken as 4 m long");
  expect(words("bundled", 0)).toBe("Strand lengths from the bundles");
  expect(words("bundled", 7)).toBe("Strand lengths from the bundles; 7 without an engine taken as 4 m long");
});
