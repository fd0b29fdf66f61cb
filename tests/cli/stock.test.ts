import { describe, expect, test } from "vitest";
import { velarium } from "./run.ts";

const DEMO = "demo/harbour-dining-room.velarium.json";

describe("velarium stock", () => {
  test("prints a short table, with prices from the job", async () => {
    const { code, out } = await velarium(["stock", DEMO, "--holes", "300", "--diameters", "0.75,1.5"]);
    expect(code).toBe(0);
    expect(out).toMatch(/now +1360 × 0.75, 260 × 1, 60 × 1.5/);
    expect(out).toMatch(/2 diameters +\d+ × 0.75, \d+ × 1.5/);
  });

  test.each([
    [["--holes", "12", "--price", "5"], "--price"],
    [["--holes", "0"], "--holes"],
    [["--price", "-3"], "--price"],
    [["--price", "500", "--diameters", "0.75,2"], "none for 2 mm"],
    [["--diameters", "0.75,thick"], "thick"],
    [["--diameters", "0.75,0.75"], "0.75 mm twice"],
  ])("refuses %j and says what to do", async (args, named) => {
    const { code, err } = await velarium(["stock", DEMO, ...args]);
    expect(code).toBe(2);
    expect(err).toContain(named);
  });
});
