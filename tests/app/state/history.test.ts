import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Job } from "../../../src/job/schema.ts";
import {
  amended,
  type History,
  presentJob,
  record,
  redo,
  redoName,
  seal,
  startHistory,
  thinned,
  undo,
  undoName,
} from "../../../src/app/state/history.ts";
import { demoJob } from "../demoJob.ts";

const first = demoJob();
const titled = (title: string): Job => ({ ...first, title });

describe("history of a job", () => {
  test("what is amended is no step: nothing more to undo, and the steps before are as they were", () => {
    const before = record(startHistory(first), { name: "Move head 1", job: titled("b") });
    const after = amended(before, titled("issued"));
    expect(presentJob(after).title).toBe("issued");
    expect(undoName(after)).toBe("Move head 1");
    expect(after.steps.length).toBe(before.steps.length);
    expect(presentJob(undo(after))).toBe(first);
    expect(amended(after, presentJob(after))).toBe(after);
  });

  test("each edit is a step with a name that undo and redo show", () => {
    const after = record(startHistory(first), { name: "Move head 1", job: titled("b") });
    expect(undoName(after)).toBe("Move head 1");
    expect(redoName(after)).toBeNull();
    const back = undo(after);
    expect(presentJob(back)).toBe(first);
    expect(redoName(back)).toBe("Move head 1");
    expect(presentJob(redo(back)).title).toBe("b");
  });

  test("an edit after undo drops what had been undone", () => {
    const two = record(record(startHistory(first), { name: "x", job: titled("x") }), {
      name: "y",
      job: titled("y"),
    });
    const forked = record(undo(two), { name: "z", job: titled("z") });
    expect(forked.steps.map((s) => s.name)).toEqual(["", "x", "z"]);
    expect(redoName(forked)).toBeNull();
  });

  test("nudges in a row are one step, until sealed or until undo", () => {
    const nudge = (h: History, title: string): History =>
      record(h, { name: "Move", job: titled(title), merge: "m" });
    const run = nudge(nudge(nudge(startHistory(first), "1"), "2"), "3");
    expect(run.steps).toHaveLength(2);
    expect(presentJob(undo(run))).toBe(first);
    expect(nudge(seal(run), "4").steps).toHaveLength(3);
    expect(nudge(redo(undo(run)), "4").steps).toHaveLength(3);
  });

  test("a merging edit after undo never swallows the step it stands on", () => {
    const one = record(startHistory(first), { name: "Move", job: titled("1"), merge: "m" });
    const two = record(one, { name: "Name", job: titled("2") });
    const forked = record(undo(two), { name: "Move", job: titled("3"), merge: "m" });
    expect(forked.steps.map((s) => s.job?.title)).toEqual([first.title, "1", "3"]);
  });

  test("an edit that changes nothing adds no step", () => {
    const start = startHistory(first);
    expect(record(start, { name: "nothing", job: first })).toBe(start);
  });

  test("any run of edits can be undone to the start and redone to the end", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.string(), fc.constantFrom("", "a", "b")), { maxLength: 40 }),
        (edits) => {
          let history = startHistory(first);
          for (const [title, merge] of edits)
            history = record(history, { name: title, job: titled(title), merge });
          const end = presentJob(history);
          let back = history;
          for (let i = 0; i <= edits.length; i++) back = undo(back);
          expect(presentJob(back)).toBe(first);
          for (let i = 0; i <= edits.length; i++) back = redo(back);
          expect(presentJob(back)).toBe(end);
        },
      ),
    );
  });
});

describe("a limit", () => {
  test("a thousand edits: the newest hundred and the first are there, the older ones further and further apart", () => {
    let history = startHistory(first);
    for (let i = 1; i <= 3000; i++) history = record(history, { name: `Edit ${i}`, job: titled(String(i)) });
    expect(history.steps.length).toBeLessThanOrEqual(200);
    const numbers = history.steps.map(({ name }) => Number(name.slice(5)));
    expect(numbers[0]).toBe(0);
    expect(numbers.slice(-100)).toEqual(Array.from({ length: 100 }, (_, i) => 2901 + i));
    const gaps = numbers.slice(1).map((n, i) => n - numbers[i]!);
    for (let i = 1; i < gaps.length; i++) expect(gaps[i]!).toBeLessThanOrEqual(gaps[i - 1]!);
    expect(presentJob(history).title).toBe("3000");
  });

  test("the step that is the present one is never thinned out", () => {
    const steps = Array.from({ length: 3000 }, (_, i) => i);
    fc.assert(fc.property(fc.nat(2999), (present) => thinned(steps, present).includes(present)));
    expect(thinned(steps.slice(0, 200))).toHaveLength(200);
  });
});
