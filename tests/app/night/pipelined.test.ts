import { describe, expect, test } from "vitest";
import { pipelined } from "../../../src/app/worker/pipelined.ts";

/** A worker that answers when told to, in order. */
function slowWorker() {
  const open: { input: number; answer: () => void; fail: () => void }[] = [];
  const run = (input: number) =>
    new Promise<number>((done, fail) => {
      open.push({ input, answer: () => done(input * 10), fail: () => fail(new Error(String(input))) });
    });
  return { open, run };
}
const settle = () => new Promise((done) => setTimeout(done));

describe("asking a worker while it is busy", () => {
  test("two are under way, of the rest only the newest is asked, answers come in order", async () => {
    const { open, run } = slowWorker();
    const got: number[] = [];
    const ask = pipelined(
      2,
      run,
      (result) => got.push(result),
      () => got.push(-1),
    );
    for (const n of [1, 2, 3, 4, 5]) ask(n);
    expect(open.map((o) => o.input)).toEqual([1, 2]);
    open[0]!.answer();
    await settle();
    expect(open.map((o) => o.input)).toEqual([1, 2, 5]);
    open[1]!.answer();
    open[2]!.answer();
    await settle();
    expect(got).toEqual([10, 20, 50]);
  });

  test("a failure is told and blocks nothing", async () => {
    const { open, run } = slowWorker();
    const got: number[] = [];
    const failures: string[] = [];
    const ask = pipelined(
      1,
      run,
      (result) => got.push(result),
      (error) => failures.push(String(error)),
    );
    ask(1);
    ask(2);
    open[0]!.fail();
    await settle();
    open[1]!.answer();
    await settle();
    expect([got, failures]).toEqual([[20], ["Error: 1"]]);
  });
});
