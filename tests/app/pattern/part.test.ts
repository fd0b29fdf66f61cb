import { beforeAll, describe, expect, test } from "vitest";
import { decisionRows } from "../../../src/app/parts/pattern/decisions.ts";
import { fateRows } from "../../../src/app/parts/pattern/fates.ts";
import { findHole } from "../../../src/app/parts/pattern/findHole.ts";
import {
  holeBeside,
  holeNear,
  leaveOut,
  nudgeMm,
  placeSubject,
  ruleAgainst,
} from "../../../src/app/parts/pattern/moves.ts";
import { keyOfHole, keyOfStar, subjectOf } from "../../../src/app/parts/pattern/subject.ts";
import { tileCounts } from "../../../src/app/stage/tileCounts.ts";
import { omitStar, pinStar } from "../../../src/app/parts/pattern/commands/hand.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import { loadCatalog } from "../../../src/cli/catalogFiles.ts";
import type { Planned } from "../../../src/plan.ts";
import { planJob } from "../../../src/work/planJob.ts";
import type { Catalog } from "../../../src/sky/types.ts";
import { demoJob } from "../demoJob.ts";

let catalog: Catalog;
let plan: Planned;
beforeAll(async () => {
  catalog = await loadCatalog({ deep: false });
  plan = planJob(demoJob(), catalog);
});

// Hipparcos numbers (ESA 1997): Vega 91262, Deneb 102098.
const VEGA = 91262;

describe("following a star through every plan", () => {
  test("every hole has a key of its own and is found again by it", () => {
    const keys = plan.pattern.holes.map(keyOfHole);
    expect(new Set(keys).size).toBe(keys.length);
    const job = demoJob();
    for (const hole of plan.pattern.holes.filter((_, i) => i % 97 === 0)) {
      expect(subjectOf(keyOfHole(hole), job, plan.pattern)?.hole?.id).toBe(hole.id);
    }
    expect(subjectOf("star:1", job, plan.pattern)).toBeNull();
  });

  test("a pinned star is where the job says even before the new plan comes, then the plan agrees", () => {
    const vega = subjectOf(keyOfStar(VEGA), demoJob(), plan.pattern)!;
    expect(vega.name).toContain("Vega");
    const to: [number, number] = [vega.atMm![0] + 21, vega.atMm![1] - 14];
    expect(ruleAgainst(plan, plan.job, to, vega.hole)).toBe("");
    const job = placeSubject(demoJob(), vega, to).job;
    expect(subjectOf(keyOfStar(VEGA), job, plan.pattern)?.atMm).toEqual(to);
    const next = planJob(job, catalog);
    const hole = next.pattern.holes.find((h) => h.star === VEGA)!;
    expect([hole.xMm, hole.yMm]).toEqual(to);
    expect(next.pattern.byHand.every((report) => report.kept)).toBe(true);
  });

  test("an omitted star loses its hole and keeps its name and its reason", () => {
    const job = omitStar(demoJob(), VEGA, "Vega").job;
    const out = planJob(job, catalog);
    expect(out.pattern.holes.some((h) => h.star === VEGA)).toBe(false);
    const subject = subjectOf(keyOfStar(VEGA), job, out.pattern)!;
    expect(subject.lost?.reason).toBe("left out by hand");
    expect(subject.name).toContain("Vega");
    expect(subject.atMm).toBeNull();
  });

  test("an invented point that is moved becomes a hole of one's own with the same strand", () => {
    const narrow = structuredClone(demoJob());
    narrow.sky.options.forEach((night) => (night.field = { halfAngleDeg: 12 }));
    const few = planJob(narrow, catalog).pattern;
    const filler = few.holes.find((h) => h.kind === "filler" && !h.byHand)!;
    const subject = subjectOf(keyOfHole(filler), narrow, few)!;
    const edit = placeSubject(narrow, subject, [filler.xMm + 1, filler.yMm]);
    expect(edit.name).toMatch(/^Move filler /);
    expect(edit.job.pattern.byHand.at(-1)).toMatchObject({ do: "add", diameterMm: filler.diameterMm });
    expect(() => leaveOut(demoJob(), subject)).toThrow(Refusal);
    const own = plan.pattern.holes.find((h) => h.kind === "filler" && h.byHand)!;
    const left = leaveOut(demoJob(), subjectOf(keyOfHole(own), demoJob(), plan.pattern)!);
    expect(left.job.pattern.byHand.some((d) => d.do === "add")).toBe(false);
  });
});

describe("which spots are refused", () => {
  test("the rule is named: sprinkler, tee, outside, another hole; the hole's own place is free", () => {
    const head = plan.job.ceiling.noGo[0]!.circle!.centreMm;
    expect(ruleAgainst(plan, plan.job, head, null)).toContain("sprinkler 'head 1'");
    expect(ruleAgainst(plan, plan.job, [-50, 100], null)).toBe("outside the room");
    const { originMm } = plan.ceiling.grid;
    expect(ruleAgainst(plan, plan.job, [originMm[0] + 609.6, originMm[1] + 300], null)).toContain("tee");
    const hole = plan.pattern.holes[40]!;
    expect(ruleAgainst(plan, plan.job, [hole.xMm, hole.yMm], hole)).toBe("");
    expect(ruleAgainst(plan, plan.job, [hole.xMm, hole.yMm], null)).toBe(
      `nearer than 5/16" to hole ${hole.tile} ${hole.numberInTile}`,
    );
  });
});

describe("lists and hands", () => {
  test("moved, lost and merged stars are those that fidelity counts, brightest first", () => {
    const rows = fateRows(plan.pattern, "mm");
    const { fidelity } = plan.pattern;
    const count = (kind: string) => rows.filter((row) => row.kind === kind).length;
    expect(count("moved")).toBe(fidelity.moved);
    expect(count("lost")).toBe(fidelity.lost);
    expect(count("merged")).toBe(plan.pattern.lost.filter((l) => l.reason === "merged").length);
    expect(rows.every((row, i) => i === 0 || rows[i - 1]!.magnitude <= row.magnitude)).toBe(true);
    expect(rows.every((row) => row.why !== "" && row.name !== "")).toBe(true);
  });

  test("strands of all tiles add up to the holes", () => {
    const counts = tileCounts(plan.ceiling, plan.pattern.holes);
    expect(counts.reduce((sum, c) => sum + c.holes, 0)).toBe(plan.pattern.holes.length);
    expect(counts.find((c) => c.tile.name === "F8")).toMatchObject({ holes: 0, perM2: 0 });
  });

  test("a star by name, by number, a hole by tile and number", () => {
    expect(findHole(plan.pattern, "vega")).toBe(keyOfStar(VEGA));
    expect(findHole(plan.pattern, "HIP 102098")).toBe(keyOfStar(102098));
    expect(findHole(plan.pattern, " 91262 ")).toBe(keyOfStar(VEGA));
    const hole = plan.pattern.holes[300]!;
    expect(findHole(plan.pattern, `${hole.tile.toLowerCase()} ${hole.numberInTile}`)).toBe(keyOfHole(hole));
    expect(findHole(plan.pattern, "Sirius")).toBeNull();
    expect(findHole(plan.pattern, "  ")).toBeNull();
  });

  test("decisions are told in words, and those that no longer fit say why", () => {
    const vega = plan.pattern.holes.find((h) => h.star === VEGA)!;
    const head = plan.job.ceiling.noGo[0]!.circle!.centreMm;
    const job = pinStar(demoJob(), VEGA, head, [vega.trueXMm!, vega.trueYMm!], "Vega").job;
    const rows = decisionRows(job, planJob(job, catalog), job);
    expect(rows.map((row) => row.fault === "")).toEqual([true, true, true, false]);
    expect(rows[3]).toMatchObject({
      name: "Vega",
      words: expect.stringContaining("from its place in the night") as string,
    });
    expect(rows[3]!.fault).toContain("sprinkler");
    expect(rows[1]!.words).toBe("left out: would shine on the lamp rail along the bar");
    // a plan of an older job says nothing about newer decisions
    expect(decisionRows(job, plan, plan.job).every((row) => row.fault === "")).toBe(true);
  });

  test("the nearest hole is the one that a slow search finds; arrow keys reach every way", () => {
    const { holes } = plan.pattern;
    const at: [number, number] = [2100, 1800];
    const slow = [...holes].sort(
      (a, b) => Math.hypot(a.xMm - at[0], a.yMm - at[1]) - Math.hypot(b.xMm - at[0], b.yMm - at[1]),
    )[0]!;
    expect(holeNear(holes, at, 500)?.id).toBe(slow.id);
    expect(holeNear(holes, [-5000, 0], 100)).toBeNull();
    const right = holeBeside(holes, slow, [1, 0]);
    expect(right.xMm).toBeGreaterThan(slow.xMm);
    const up = holeBeside(holes, slow, [0, 1]);
    expect(up.yMm).toBeGreaterThan(slow.yMm);
  });

  test("a nudge is a millimetre or a sixteenth of an inch, ten of them with Shift", () => {
    expect(nudgeMm("mm", false)).toBe(1);
    expect(nudgeMm("ft-in", true)).toBeCloseTo(25.4 * (10 / 16), 9);
  });
});
