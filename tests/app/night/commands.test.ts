import { offsetWords } from "../../../src/job/writtenTime.ts";
import { describe, expect, test } from "vitest";
import {
  type Civil,
  readClock,
  readOffset,
  setClock,
  setInstant,
  setOffset,
  setPlace,
  setZone,
} from "../../../src/app/parts/night/commands/moment.ts";
import {
  addSeat,
  removeSeat,
  setLook,
  setSeat,
  setTwinkle,
} from "../../../src/app/parts/night/commands/scene.ts";
import {
  fitField,
  setHalfAngle,
  setRimRadius,
  setSkySwitch,
  setView,
} from "../../../src/app/parts/night/commands/view.ts";
import {
  chooseNight,
  chosenNight,
  duplicateNight,
  removeNight,
  renameNight,
  takeNight,
} from "../../../src/app/parts/night/commands/nights.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import { readJob } from "../../../src/job/read.ts";
import { writeJob } from "../../../src/job/write.ts";
import { instantOnClock, resolveMoment } from "../../../src/sky/time.ts";
import { demoJob } from "../demoJob.ts";

const job = demoJob();
const halifax = (local: string): Civil => ({ local, zone: "America/Halifax" });

describe("the nights of a job", () => {
  test("a copy is put after its original, is chosen, and shares nothing that can be changed", () => {
    const { job: after, name } = duplicateNight(job, "winter");
    expect(after.sky.options.map((o) => o.id)).toEqual(["reopening", "winter", "night-4", "launch"]);
    expect(after.sky.chosen).toBe("night-4");
    expect(name).toContain("the Hunter over the harbour");
    const changed = setView(after, { turnDeg: 30 }).job;
    expect(changed.sky.options[1]).toEqual(job.sky.options[1]);
    expect(job.sky.options).toHaveLength(3);
  });

  test("ids stay free after nights came and went", () => {
    let now = duplicateNight(job, "winter").job;
    now = removeNight(now, "launch").job;
    now = duplicateNight(now, "winter").job;
    const ids = now.sky.options.map((o) => o.id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(readJob(writeJob(now)).job.sky.options).toHaveLength(4);
  });

  test("removing the chosen night chooses its neighbour; the last one stays", () => {
    expect(removeNight(job, "reopening").job.sky.chosen).toBe("winter");
    const last = removeNight(chooseNight(job, "launch").job, "launch").job;
    expect(last.sky.chosen).toBe("winter");
    expect(removeNight(job, "winter").job.sky.chosen).toBe("reopening");
    const one = removeNight(removeNight(job, "winter").job, "launch").job;
    expect(() => removeNight(one, "reopening")).toThrow(Refusal);
  });

  test("a name is needed, and a 25th night refused", () => {
    expect(() => renameNight(job, "winter", "  ")).toThrow(Refusal);
    expect(renameNight(job, "winter", " Frost ").job.sky.options[1]?.title).toBe("Frost");
    let full = job;
    while (full.sky.options.length < 24) full = duplicateNight(full, "winter").job;
    expect(() => takeNight(full, chosenNight(full))).toThrow(/24/);
  });

  test("choosing what is chosen changes nothing", () => {
    expect(chooseNight(job, "reopening").job).toBe(job);
  });
});

// The changes of the clocks: IANA tzdata, America/Halifax (second Sunday in March, first in November at 2:00).
describe("the clock and its odd hours", () => {
  test("an hour that came twice has both readings, an hour apart", () => {
    const reading = readClock(halifax("2029-11-04T01:30"));
    if (reading.kind !== "twice") throw new Error(reading.kind);
    expect(reading.earlier.utcIso).toBe("2029-11-04T04:30:00Z");
    expect(reading.later.utcIso).toBe("2029-11-04T05:30:00Z");
    expect([reading.earlier.offsetMin, reading.later.offsetMin]).toEqual([-180, -240]);
  });

  test("an hour that never came has the two times it may mean", () => {
    const reading = readClock(halifax("2029-03-11T02:30"));
    if (reading.kind !== "never") throw new Error(reading.kind);
    expect(reading.before.localIso).toBe("2029-03-11T01:30:00-04:00");
    expect(reading.after.localIso).toBe("2029-03-11T03:30:00-03:00");
    expect(reading.said).toContain("02:00");
    expect(reading.said).toContain("03:00");
  });

  test("half an hour is no less odd: Lord Howe goes forward by thirty minutes", () => {
    const reading = readClock({ local: "2029-10-07T02:15", zone: "Australia/Lord_Howe" });
    if (reading.kind !== "never") throw new Error(reading.kind);
    expect(reading.before.localIso).toBe("2029-10-07T01:45:00+10:30");
    expect(reading.after.localIso).toBe("2029-10-07T02:45:00+11:00");
  });

  test("the job never holds an odd hour unanswered", () => {
    expect(() => setClock(job, halifax("2029-11-04T01:30"))).toThrow(/twice/);
    expect(() => setClock(job, halifax("2029-03-11T02:30"))).toThrow(Refusal);
    const told = setClock(job, { ...halifax("2029-11-04T01:30"), occurrence: "later" }).job;
    expect(resolveMoment(chosenNight(told).moment).utcIso).toBe("2029-11-04T05:30:00Z");
  });

  test("scrubbing through both passes of an hour says which one", () => {
    const start = resolveMoment(halifax("2029-11-04T00:30"));
    const seen: string[] = [];
    for (let minutes = 0; minutes <= 180; minutes += 30) {
      const instant = instantOnClock(start, start.jdUt + minutes / 1440);
      const { moment } = chosenNight(setInstant(job, instant).job);
      expect(resolveMoment(moment).utcIso).toBe(instant.utcIso);
      seen.push(`${String(moment["local"]).slice(11)} ${String(moment["occurrence"] ?? "")}`.trim());
    }
    expect(seen).toEqual([
      "00:30",
      "01:00 earlier",
      "01:30 earlier",
      "01:00 later",
      "01:30 later",
      "02:00",
      "02:30",
    ]);
  });

  test("a moment in UTC and one with an offset by hand stay told that way", () => {
    const byHand = setOffset(job, -210).job;
    const instant = resolveMoment({ utc: "2029-09-09T02:15:00Z" });
    const { moment } = chosenNight(setInstant(byHand, instant).job);
    expect(moment).toMatchObject({ local: "2029-09-08T22:45", offsetMin: -210 });
    expect(chosenNight(setOffset(byHand, null).job).moment).not.toHaveProperty("offsetMin");
    const utc = { ...chosenNight(job), moment: { utc: "2029-09-09T01:00:00Z" } };
    const inUtc = { ...job, sky: { ...job.sky, options: [utc], chosen: utc.id } };
    expect(chosenNight(setInstant(inUtc, instant).job).moment).toEqual({ utc: "2029-09-09T02:15:00Z" });
  });

  test("going elsewhere keeps the clock time and reads it there", () => {
    const there = { name: "Quito", latDeg: -0.22, lonDeg: -78.51, elevationM: 2850 };
    const night = chosenNight(setPlace(job, there, "America/Guayaquil").job);
    expect(resolveMoment(night.moment).localIso).toBe("2029-09-08T22:00:00-05:00");
    expect(night.place.name).toBe("Quito");
    expect(() => setPlace(job, { ...there, latDeg: 91 })).toThrow(Refusal);
  });

  test("a clock time that another zone skipped moves past the gap", () => {
    // Europe/Vienna skips 02:00 to 03:00 on 25 March 2029 (IANA tzdata).
    const spring = setClock(job, halifax("2029-03-25T02:30")).job;
    expect(chosenNight(setZone(spring, "Europe/Vienna").job).moment).toMatchObject({
      local: "2029-03-25T03:30",
    });
  });

  test("offsets as people write them", () => {
    expect(readOffset("−3:30")).toBe(-210);
    expect(readOffset("UTC+05:45")).toBe(345);
    expect(readOffset("2")).toBe(120);
    expect(readOffset("soon")).toBeNull();
    expect(readOffset("3:75")).toBeNull();
    expect(offsetWords(-210)).toBe("UTC−03:30");
  });
});

describe("view, field and seats", () => {
  test("a view stays on the sphere and reads 0 to 360", () => {
    const { view } = chosenNight(setView(job, { azimuthDeg: -10, altitudeDeg: 95, turnDeg: 725 }).job);
    expect(view).toMatchObject({ azimuthDeg: 350, altitudeDeg: 90, turnDeg: 5 });
    expect(() => setView(job, { azimuthDeg: NaN })).toThrow(Refusal);
  });

  test("the rim by degrees and by millimetres, and back to the corners", () => {
    const changed = setRimRadius(setHalfAngle(job, 45).job, 2500.04).job;
    expect(chosenNight(changed).field).toMatchObject({ halfAngleDeg: 45, radiusMm: 2500 });
    expect(chosenNight(fitField(changed).job).field).toEqual({ halfAngleDeg: 45 });
    expect(() => setHalfAngle(job, 171)).toThrow(Refusal);
    expect(chosenNight(setRimRadius(job, -5).job).field.radiusMm).toBe(100);
  });

  test("switches of the sky", () => {
    expect(chosenNight(setSkySwitch(job, "bodies", false).job).bodies).toBe(false);
    expect(setSkySwitch(job, "refraction", false).name).toContain("off");
  });

  test("seats are the job's own from the first one changed", () => {
    const start = [{ name: "middle", atMm: [2000, 2000] as [number, number], eyeMm: 1200, fieldDeg: 100 }];
    const moved = setSeat(job, start, 0, { atMm: [1500.4, 900.6] }).job;
    expect(moved.scene.seats).toEqual([{ ...start[0], atMm: [1500, 901] }]);
    expect(() => setSeat(job, start, 0, { eyeMm: 2743 })).toThrow(Refusal);
    const two = addSeat(moved, moved.scene.seats, [100, 100]).job;
    expect(two.scene.seats.map((s) => s.name)).toEqual(["middle", "seat 2"]);
    expect(removeSeat(two, two.scene.seats, 0).job.scene.seats.map((s) => s.name)).toEqual(["seat 2"]);
  });

  test("lights", () => {
    expect(setLook(job, "dimmer", 0.3).job.scene.dimmer).toBe(0.3);
    expect(setTwinkle(job, 0).job.scene.twinkle).toMatchObject({ share: 0, channels: 6 });
    expect(() => setTwinkle(job, 1.2)).toThrow(Refusal);
  });
});
