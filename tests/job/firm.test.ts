import { describe, expect, test } from "vitest";
import { JobFaults } from "../../src/job/faults.ts";
import { readFirm } from "../../src/job/firmFile.ts";

describe("a firm's file", () => {
  test("may hold as little as its format; every fault in it is told with its place", () => {
    expect(readFirm('{"format": "velarium.firm", "version": 1}')).toMatchObject({ name: "", units: "mm" });
    const wrong =
      '{"format": "velarium.firm", "version": 1, "units": "yd", "takeoff": {"prices": {"hour": -1}}}';
    try {
      readFirm(wrong);
      expect.unreachable();
    } catch (error) {
      expect((error as JobFaults).faults.map(({ path }) => path)).toEqual(["units", "takeoff.prices.hour"]);
    }
  });

  test("a job is no firm, and is told so", () => {
    expect(() => readFirm('{"format": "velarium.job", "version": 1}')).toThrow(/velarium\.firm/);
    expect(() => readFirm("null")).toThrow(JobFaults);
    expect(() => readFirm("{")).toThrow(JobFaults);
  });
});
