import { readFile } from "node:fs/promises";
import { describe, expect, test } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { checkJob } from "../../src/check.ts";
import { searchNights } from "../../src/choose/search.ts";
import { standingWords, stepUp, turnedAt, turnedWords, upOf, wallFaced } from "../../src/choose/standing.ts";
import { passOf } from "../../src/choose/words.ts";
import type { Wish } from "../../src/choose/wish.ts";
import { timesOf } from "../../src/choose/wish.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { makeCamera, toScreen } from "../../src/scene/camera.ts";
import { planJob } from "../../src/work/planJob.ts";
import { CannotDo, JobFaults } from "../../src/job/faults.ts";

const catalog = await loadCatalog();
const { job } = checkJob(
  await readFile(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
);
const { place } = job.sky.options[0]!;
const zone = "America/Halifax";

describe("how a figure stands for somebody in the room", () => {
  test("turned clockwise as the camera of the dark picture sees it, from anywhere to anywhere", () => {
    // outside choose: the perspective camera, whose handedness has tests of its own
    const places: [number, number][] = [
      [1000, 1000],
      [4000, 700],
      [2500, 3000],
      [600, 2800],
    ];
    for (const seat of places) {
      for (const spot of places.filter((other) => other !== seat)) {
        const camera = makeCamera(
          { name: "", atMm: seat, eyeMm: 1200, lookAtMm: spot, fieldDeg: 60 },
          2700,
          900,
          900,
        );
        for (let deg = 0; deg < 360; deg += 40) {
          const [x, y] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
          const above: [number, number] = [spot[0] + 5 * x, spot[1] + 5 * y];
          const at = toScreen(camera, ...above, 2700)!;
          const { cos, sin } = turnedAt(seat, spot, above);
          // to the right on the screen is clockwise, up is less than a quarter turn from upright
          if (Math.abs(sin) > 0.05) expect(Math.sign(at[0] - 450)).toBe(Math.sign(sin));
          if (Math.abs(cos) > 0.05) expect(Math.sign(450 - at[1])).toBe(Math.sign(cos));
        }
      }
    }
  });
  test("north is up in Orion at Halifax, south in Sydney; the Southern Cross stands on its foot in both", () => {
    expect(upOf(44, 0)).toBe(1);
    expect(upOf(-34, 0)).toBe(-1);
    expect(upOf(-34, -60)).toBe(1);
    const [x, , z] = stepUp([1, 0, 0], -1);
    expect(x).toBeGreaterThan(0.99);
    expect(z).toBeLessThan(0);
  });
  test("the wall is the one behind the figure, round the corner of an L too", () => {
    const ceiling = makeCeiling({
      ...job.ceiling,
      outlineMm: [
        [0, 0],
        [6000, 0],
        [6000, 2000],
        [2000, 2000],
        [2000, 5000],
        [0, 5000],
      ],
      walls: ["south", "east", "step", "nook", "north", "west"],
      noGo: [],
      tiles: {},
    });
    const name = (spot: [number, number]): string | null => {
      const wall = wallFaced(ceiling, [1000, 1000], spot);
      return wall === null ? null : ceiling.walls[wall]!.name;
    };
    expect(name([3000, 1000])).toBe("east");
    expect(name([1000, 3000])).toBe("north");
    expect(name([1800, 1900])).toBe("nook");
    expect(name([1000, 200])).toBe("south");
    expect(name([1010, 1010])).toBe(null);
  });
  test("in words", () => {
    expect([8, -14, 40, -90, 170].map(turnedWords)).toEqual([
      "upright",
      "upright",
      "leaning 40° to the right",
      "lying to the left",
      "upside down",
    ]);
    const { walls } = makeCeiling(job.ceiling);
    expect(standingWords({ name: "Lyra", wall: null, turnedDeg: 3 }, walls)).toBe("Lyra overhead");
    expect(standingWords({ name: "Orion", wall: 5, turnedDeg: -3 }, walls)).toBe(
      "Orion over the bar wall, upright",
    );
  });
});

describe("a wish in the client's words", () => {
  const wish: Wish = {
    place,
    zone,
    fromLocal: "2030-01-05T21:00",
    toLocal: "2030-01-06T01:00",
    stepMin: 60,
    constellations: ["Ori"],
    overWalls: { Ori: 0 },
    mostTurnedDeg: 15,
    milkyWay: true,
  };
  test("Orion over the harbour wall, upright, with the Milky Way: met, and said in titles that differ", async () => {
    const { met, proposals } = await searchNights(job, catalog, wish, planJob);
    expect(met).toBe(true);
    const best = proposals[0]!;
    expect(best.met.join("; ")).toMatch(
      /Orion over the harbour wall; Orion upright \(turned \d+°\); the Milky Way/,
    );
    expect(best.night.title).toMatch(/^Orion over the harbour wall, upright/);
    expect(best.reasons.join(" ")).toMatch(/The view is to .*, the picture (not )?turned/);
    const titles = proposals.map(({ night }) => night.title);
    expect(new Set(titles).size).toBe(titles.length);
    expect(titles.length).toBeGreaterThan(2);
  });
  test("what can't be had is named with what stands against it", async () => {
    const late = { ...wish, constellations: ["Cyg"], overWalls: { Cyg: 1 }, proposals: 1 };
    const { met, proposals } = await searchNights(job, catalog, late, planJob);
    expect(met).toBe(false);
    expect(proposals[0]!.unmet.join("; ")).toContain("Cygnus");
  });
  test("a wall that isn't there, a constellation not wished for, a limit out of range: all told at once", async () => {
    const bad = { ...wish, overWalls: { Ori: 9, Tau: 0 }, mostTurnedDeg: 0 };
    const error = await searchNights(job, catalog, bad, planJob).catch((e: unknown) => e);
    expect(error).toBeInstanceOf(JobFaults);
    expect((error as JobFaults).faults.map((f) => f.path)).toEqual([
      "wish.overWalls.Ori",
      "wish.overWalls.Tau",
      "wish.mostTurnedDeg",
    ]);
  });
});

describe("a night on which the clocks change", () => {
  // IANA, America/Halifax: back at 02:00 on 4 November 2029, forward at 02:00 on 11 March 2029 (first and second
  // Sundays by the rule in force since 2007)
  const noonToNoon = (date: string, next: string): Wish => ({
    place,
    zone,
    fromLocal: `${date}T12:00`,
    toLocal: `${next}T12:00`,
    stepMin: 15,
  });
  test("is searched from noon to noon like any other: 25 and 23 hours", () => {
    expect(timesOf(noonToNoon("2029-11-03", "2029-11-04")).jdUt.length).toBe(25 * 4 + 1);
    expect(timesOf(noonToNoon("2029-03-10", "2029-03-11")).jdUt.length).toBe(23 * 4 + 1);
    expect(() => timesOf(noonToNoon("2029-11-03", "2029-11-05"))).toThrow(CannotDo);
  });
  test("a window that ends in the doubled hour holds both passes", () => {
    const { jdUt } = timesOf({
      ...noonToNoon("2029-11-03", ""),
      fromLocal: "2029-11-04T01:00",
      toLocal: "2029-11-04T01:45",
    });
    expect(jdUt.length).toBe(8);
  });
  test("both passes of the doubled hour have titles of their own", async () => {
    const twice: Wish = {
      ...noonToNoon("2029-11-03", ""),
      fromLocal: "2029-11-04T01:00",
      toLocal: "2029-11-04T01:30",
      stepMin: 30,
      turnStepDeg: 45,
      proposals: 4,
    };
    const { proposals } = await searchNights(job, catalog, twice, planJob);
    for (const { night, facts } of proposals) {
      expect(night.title).toMatch(/\((first|second) time\)$/);
      expect(facts.pass).toBe(passOf(night.moment));
    }
  });
  test("only an hour that came twice has passes", () => {
    const moment = { local: "2029-11-04T01:30", zone };
    expect(passOf({ ...moment, occurrence: "earlier" })).toBe("first");
    expect(passOf({ ...moment, occurrence: "later" })).toBe("second");
    expect(passOf({ local: "2029-11-04T03:30", zone, occurrence: "later" })).toBe("");
    expect(passOf({ utc: "2029-11-04T03:30:00Z" })).toBe("");
  });
});
