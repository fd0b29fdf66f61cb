import { describe, expect, test } from "vitest";
import { paced } from "../../../src/app/worker/paced.ts";
import { pipelined } from "../../../src/app/worker/pipelined.ts";

/** Frames that come when told to, and what each of them showed. */
function screen() {
  let callbacks: (() => void)[] = [];
  const shown: number[][] = [];
  const dropped: number[] = [];
  const show = paced<number>(
    (callback) => callbacks.push(callback),
    (item) => shown.at(-1)!.push(item),
    (item) => dropped.push(item),
  );
  const frame = (): void => {
    shown.push([]);
    const due = callbacks;
    callbacks = [];
    for (const callback of due) callback();
  };
  return { show, frame, shown, dropped };
}

describe("one answer in a frame", () => {
  test("two that land together are shown in two frames, in order", () => {
    const { show, frame, shown, dropped } = screen();
    frame();
    show(1);
    frame();
    show(2);
    show(3);
    frame();
    frame();
    frame();
    expect(shown).toEqual([[], [1], [2], [3], []]);
    expect(dropped).toEqual([]);
  });

  test("an answer that came early is there for a frame into which none comes", () => {
    const { show, frame, shown } = screen();
    show(1);
    show(2);
    frame();
    show(3);
    frame();
    frame(); // nothing came: 3 was kept for it
    expect(shown).toEqual([[1], [2], [3]]);
  });

  test("what piles up puts out the oldest, which is handed back; the newest is always shown", () => {
    const { show, frame, shown, dropped } = screen();
    for (const n of [1, 2, 3, 4, 5]) show(n);
    frame();
    frame();
    frame();
    expect(shown).toEqual([[4], [5], []]);
    expect(dropped).toEqual([1, 2, 3]);
  });

  test("a fault in showing one holds up none of the others", () => {
    const shown: number[] = [];
    let callbacks: (() => void)[] = [];
    const show = paced<number>(
      (callback) => callbacks.push(callback),
      (item) => {
        if (item === 1) throw new Error("not to be painted");
        shown.push(item);
      },
      () => undefined,
    );
    show(1);
    show(2);
    const [first] = callbacks;
    callbacks = [];
    expect(() => first!()).toThrow("not to be painted");
    for (const callback of callbacks) callback();
    expect(shown).toEqual([2]);
  });
});

test("a worker that answers now early, now late, still gives a new sky in every frame", async () => {
  // Times in quarters of a frame: the hand moves at the start of each; the worker takes one to five quarters.
  const QUARTERS = [2, 5, 1, 3, 5, 2, 1, 4, 5, 1, 2, 2, 5, 1, 3, 4, 2, 5, 1, 2];
  const { show, frame, shown, dropped } = screen();
  const busy: { input: number; left: number; answer: (input: number) => void }[] = [];
  const ask = pipelined<number, number>(
    2,
    (input) => new Promise((answer) => busy.push({ input, left: QUARTERS[input]!, answer })),
    show,
    () => undefined,
  );
  for (let input = 0; input < QUARTERS.length; input++) {
    frame();
    ask(input);
    for (let quarter = 0; quarter < 4; quarter++) {
      const first = busy[0];
      if (first && --first.left === 0) {
        busy.shift();
        first.answer(first.input);
      }
      await new Promise((done) => setTimeout(done));
    }
  }
  const first = shown.findIndex((items) => items.length > 0);
  const settled = shown.findIndex((items, i) => i > first && items.length === 0);
  const skies = shown.flat();
  expect(dropped).toEqual([]);
  expect(shown.every((items) => items.length <= 1)).toBe(true);
  // one miss fills the queue; from then on no frame is without a sky
  expect(shown.slice(settled + 1).filter((items) => items.length === 0)).toEqual([]);
  expect(skies).toEqual(skies.toSorted((a, b) => a - b));
  expect(new Set(skies).size).toBe(skies.length);
});
