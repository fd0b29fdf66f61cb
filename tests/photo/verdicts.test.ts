import { expect, test } from "vitest";
import { DarkTester, type DarkTestInput } from "../../src/photo/darkTest.ts";
import {
  chance,
  inFrame,
  photograph,
  pixelsOf,
  seen,
  type Dot,
  type Exposure,
  type Pose,
  type Stray,
} from "./darkroom.ts";
import { demoPlan } from "./demo.ts";
import { hangBadly } from "./swapped.ts";
import type { Planned } from "./truth.ts";

/** What goes wrong with more than one strand at a time, and what photographs go wrong by: each with its truth. */
const { plan, holes, input } = await demoPlan();
const POSE: Pose = {
  targetMm: [2400, 1800],
  distanceMm: 2600,
  tiltDeg: 18,
  leanDeg: 200,
  rollDeg: 70,
  focalPx: 1150,
  k1: -0.05,
  widthPx: 2000,
  heightPx: 1500,
};
const { dots } = hangBadly(holes, 5, {});
const clear = holes.filter((h) => inFrame(POSE, seen(POSE, h.xMm, h.yMm), 20));

/** A photograph of these lights, compared with the plan: its report, and ids of holes by verdict. */
async function tested(
  lights: readonly Dot[],
  over: Partial<DarkTestInput> = {},
  e: Partial<Exposure> = {},
  strays: readonly Stray[] = [],
) {
  const tester = new DarkTester({ ...input, ...over });
  const jpeg = await photograph(lights, strays, POSE, { seed: 3, ...e });
  const report = tester.add({ name: "x.jpg", channels: 3, ...(await pixelsOf(jpeg)) }, null);
  const told = tester.result();
  const of = (verdict: string) => told.holes.filter((h) => h.verdict === verdict).map((h) => h.hole);
  return { report, told, of };
}

test("all lit and in their places: nothing else is said", async () => {
  const { told, of } = await tested(dots);
  // nor are strands that run together, or lie at the picture's very edge, lights of somebody else
  expect([of("dead"), of("displaced"), of("dim"), of("hidden"), told.tiles, told.dark, told.strays]).toEqual(
    Array(7).fill([]),
  );
  // a pair that one picture can't tell apart is no finding
  expect(of("lit").length).toBeGreaterThan(0.99 * clear.length);
  expect(of("unsure").length).toBeLessThan(0.01 * clear.length);
});

test("a noisy phone, coded hard, with hot pixels: what noise does is neither a dead strand nor a light", async () => {
  const random = chance(9);
  const hot = Array.from({ length: 150 }, () => ({
    ...{ xPx: Math.floor(random() * 2000) + 0.5, yPx: Math.floor(random() * 1500) + 0.5 },
    ...{ light: 0.3 + 0.5 * random(), sigmaPx: 0.25 },
  }));
  const hung = hangBadly(holes, 5, { deadShare: 0.02 });
  const harsh = { noise: 0.006, fullWell: 800, gain: 0.3, glow: 0.006, quality: 70 };
  const { told, of } = await tested(hung.dots, {}, harsh, hot);
  const dead = clear.filter((h) => hung.dead.has(h.id)).map((h) => h.id);
  expect(of("dead").filter((id) => dead.includes(id)).length).toBeGreaterThanOrEqual(0.92 * dead.length);
  expect(of("dead").filter((id) => !hung.dead.has(id)).length).toBeLessThan(0.002 * clear.length);
  expect(of("unsure").length).toBeLessThan(0.04 * clear.length);
  expect(of("displaced")).toEqual([]);
  expect(told.strays.length).toBeLessThan(20);
});

test("a glaring lamp beside a displaced strand is not taken for the strand, and a sign is one light", async () => {
  const [wrong] = clear.filter((h) => h.tile === "D5");
  const at = seen(POSE, wrong!.xMm + 12, wrong!.yMm)!;
  const lamp = { xPx: at.xPx, yPx: at.yPx, light: 1.1, sigmaPx: 2.6 };
  const sign = { xPx: 300, yPx: 1300, light: 3, sigmaPx: 30 };
  const { told, of } = await tested(dots.filter((d) => Math.hypot(d.xMm - wrong!.xMm, d.yMm - wrong!.yMm) > 3), {}, {}, [lamp, sign]); // prettier-ignore
  expect(of("displaced")).not.toContain(wrong!.id);
  expect(told.strays).toHaveLength(2);
});

test("two strands that are off the same way, the one nearly where the other should be: each has its own light", async () => {
  type Place = (typeof clear)[number];
  const apart = (p: Place, q: Place) => Math.hypot(q.xMm - p.xMm, q.yMm - p.yMm);
  const other = (p: Place) => clear.find((q) => apart(p, q) > 18 && apart(p, q) < 24);
  const a = clear.find(other)!;
  const b = other(a)!;
  const way: [number, number] = [0.62 * (b.xMm - a.xMm), 0.62 * (b.yMm - a.yMm)];
  const near = (d: Dot) => [a, b].some((h) => Math.hypot(d.xMm - h.xMm, d.yMm - h.yMm) < 4);
  const { told } = await tested(dots.map((d) => (near(d) ? { ...d, xMm: d.xMm + way[0], yMm: d.yMm + way[1] } : d))); // prettier-ignore
  for (const { id } of [a, b]) {
    const { verdict, dxMm, dyMm } = told.holes[id - 1]!;
    expect(verdict).toBe("displaced");
    expect(Math.hypot(dxMm! - way[0], dyMm! - way[1])).toBeLessThan(2);
  }
});

test("lights that run together, a glimmer and a lamp's foot are told apart, whatever curve the phone draws by", async () => {
  const alone = clear.filter((h) => h.diameterMm === 0.75 && h.strands === 1);
  const between = (p: Dot | Planned, q: Dot | Planned) => Math.hypot(p.xMm - q.xMm, p.yMm - q.yMm);
  const apart = alone.filter((b) => clear.every((h) => h === b || between(h, b) > 18));
  const own = (h: Planned) => (d: Dot) => between(d, h) < 4;
  // the light of the one lies 10 mm beside another's: two and a half widths of a spot
  const beside = (b: Planned) => alone.find((h) => h !== b && between(h, b) < 30);
  const b = apart.find(beside)!;
  const moved = beside(b)!;
  const way: [number, number] = [b.xMm + 10 - moved.xMm, b.yMm - moved.yMm];
  const [glimmers, dead] = [apart[20]!, apart[30]!];
  const lamp = { ...seen(POSE, dead.xMm + 45, dead.yMm)!, light: 0.8, sigmaPx: 9 };
  const lights = dots
    .filter((d) => !own(dead)(d))
    .map((d) => ({ ...d, light: (own(glimmers)(d) ? 0.15 : 1) * d.light ** 0.6 }))
    .map((d) => (own(moved)(d) ? { ...d, xMm: d.xMm + way[0], yMm: d.yMm + way[1] } : d));
  const { told, of } = await tested(lights, {}, {}, [lamp]);
  expect([of("dim"), of("dead"), of("displaced")]).toEqual([[glimmers.id], [dead.id], [moved.id]]);
  const { dxMm, dyMm } = told.holes[moved.id - 1]!;
  expect(Math.hypot(dxMm! - way[0], dyMm! - way[1])).toBeLessThan(2);
  expect(told.holes[b.id - 1]!.verdict).toBe("lit");
  expect(told.strays).toHaveLength(1);
});

test("what hangs in front hides the lights behind it, across tiles; they are not called dead", async () => {
  const middle = seen(POSE, 2300, 1500)!;
  const behind = ({ xMm, yMm }: { xMm: number; yMm: number }): boolean => {
    const at = seen(POSE, xMm, yMm)!;
    return Math.hypot(at.xPx - middle.xPx, at.yPx - middle.yPx) < 130;
  };
  const { of } = await tested(dots.filter((d) => !behind(d)));
  const truth = holes.filter(behind).map((h) => h.id);
  expect(truth.length).toBeGreaterThan(50);
  expect(of("hidden").filter((id) => truth.includes(id)).length).toBeGreaterThan(0.95 * truth.length);
  expect(of("dead")).toEqual([]);
});

test("a whole engine dark, though most of the picture is: one sentence, and its name", async () => {
  const engine = (tile: string) => (/^[A-C]/.test(tile) ? "L1" : "L2");
  const tailOf = (id: number) => {
    const { tile } = holes[id - 1]!;
    return { name: `${engine(tile)}-${tile}`, engine: engine(tile), tile };
  };
  const own = holes.filter((h) => engine(h.tile) === "L2").map((h) => h.id);
  const { told, of, report } = await tested(hangBadly(holes, 5, { dark: new Set(own) }).dots, { tailOf });
  expect(report.placing).not.toBeNull();
  expect(own.length).toBeGreaterThan(holes.length / 2);
  expect(told.dark.map(({ kind, name }) => [kind, name])).toEqual([["engine", "L2"]]);
  expect(of("dead").filter((id) => !own.includes(id))).toEqual([]);
  expect(of("dead").length).toBeGreaterThan(0.99 * clear.filter((h) => own.includes(h.id)).length);
});

test.each([
  [6, /sits 1\/4" off its place: push it back/],
  [14, /lie 9\/16" off, all the same way: was its template laid/],
])("a tile whose lights all lie %i mm off is told as one thing", async (mm, words) => {
  const { box } = plan.ceiling.tiles.find((t) => t.name === "D6")!;
  const inside = (d: Dot) =>
    d.xMm * 1000 > box.minX && d.xMm * 1000 < box.maxX && d.yMm * 1000 > box.minY && d.yMm * 1000 < box.maxY;
  const { told, of } = await tested(
    dots.map((d) => (inside(d) ? { ...d, xMm: d.xMm + 0.8 * mm, yMm: d.yMm - 0.6 * mm } : d)),
  );
  expect(told.tiles.map(({ kind, tile }) => [kind, tile])).toEqual([["shifted", "D6"]]);
  expect(told.tiles[0]!.words).toMatch(words);
  const [dx, dy] = told.tiles[0]!.shiftMm!;
  expect(Math.hypot(dx - 0.8 * mm, dy + 0.6 * mm)).toBeLessThan(0.5);
  const off = told.holes.filter((h) => h.verdict === "displaced").map((h) => h.tile);
  expect([...new Set(off)]).toEqual(["D6"]);
  expect(of("dead")).toEqual([]);
});

test("holes that no engine lights as planned are no work; one that shines all the same is worth a word", async () => {
  const some = holes.filter((h) => h.tile === "C5").slice(3, 10);
  const [shines, ...rest] = some.map((h) => h.id);
  const unlit = new Map(some.map((h) => [h.id, "the kits have no strand left for it"]));
  const { told, of } = await tested(hangBadly(holes, 5, { dark: new Set(rest) }).dots, { unlit });
  expect(of("unlit")).toEqual(rest);
  expect([of("dead"), of("hidden"), told.dark]).toEqual([[], [], []]);
  expect(told.holes[shines! - 1]).toMatchObject({ verdict: "lit", why: "lit, though no engine lights it as planned" }); // prettier-ignore
});

test("soft pictures: a little and they still tell, with advice; too much and they are named", async () => {
  const little = await tested(dots, {}, { blurPx: 4, gain: 0.6 });
  expect(little.report.placing).not.toBeNull();
  expect(little.report.next).toMatch(/a little blurred/);
  expect(little.of("dead")).toEqual([]);
  const much = await tested(dots, {}, { blurPx: 9, gain: 0.6 });
  expect(much.report).toMatchObject({ placing: null, words: "The picture is blurred: lights run into each other." }); // prettier-ignore
});

test("another room is not taken for this one, and asked about", async () => {
  const other = dots.map((d) => ({
    ...d,
    xMm: d.xMm + 90 * Math.sin(1 + d.yMm / 70),
    yMm: d.yMm + 90 * Math.cos(1 + d.xMm / 60),
  }));
  const { report, told } = await tested(other);
  expect(report.placing).toBeNull();
  expect(report.words).toMatch(/not found among the \d+ lights of this picture. Is it this ceiling/);
  expect(told.counts["not in the picture"]).toBe(holes.length);
});
