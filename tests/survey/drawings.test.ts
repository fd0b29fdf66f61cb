import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { hatchLines } from "../../src/survey/hatch.ts";
import { readDrawing } from "../../src/survey/drawing.ts";
import { surveyDrawing, type Said, type Survey } from "../../src/survey/survey.ts";

/** Drawings by ezdxf with the truth they were drawn from (scripts/authorities/drawings_ezdxf.py). */
interface Truth {
  unit: Said["unit"];
  widthMm: number;
  depthMm: number;
  originMm: [number, number];
  moduleMm: [number, number];
  teeFaceMm: number | null;
  turnDeg: number;
  noGo: { kind: string; centreMm?: number[]; radiusMm?: number; cornerMm?: number[]; sizeMm?: number[] }[];
}
const FOLDER = "tests/authorities/drawings";
const { drawings } = JSON.parse(readFileSync(`${FOLDER}/truth.json`, "utf8")) as {
  drawings: Record<string, Truth>;
};
/** Half a millimetre: finer than a tape reads. */
const NEAR_MM = 0.5;

const survey = (name: string, said?: Said): Survey =>
  surveyDrawing(readDrawing(readFileSync(`${FOLDER}/${name}.dxf`, "utf8"), name), said);

function expectTruth(found: Survey, truth: Truth): void {
  const { ceiling } = found;
  expect(found.ask).toBeNull();
  const near = (got: readonly number[], wanted: readonly number[]): void =>
    got.forEach((value, i) => expect(Math.abs(value - wanted[i]!)).toBeLessThan(NEAR_MM));
  const xs = ceiling!.outlineMm.map(([x]) => x);
  const ys = ceiling!.outlineMm.map(([, y]) => y);
  near(
    [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)],
    [0, truth.widthMm, 0, truth.depthMm],
  );
  near(ceiling!.grid!.moduleMm, truth.moduleMm);
  // a crossing is as good as the one a whole module on
  ceiling!.grid!.originMm.forEach((at, i) => {
    const off = (at - truth.originMm[i]!) / truth.moduleMm[i]!;
    expect(Math.abs(off - Math.round(off)) * truth.moduleMm[i]!).toBeLessThan(NEAR_MM);
  });
  if (truth.teeFaceMm === null) expect(ceiling!.grid!.teeFaceMm).toBeNull();
  else near([ceiling!.grid!.teeFaceMm!], [truth.teeFaceMm]);
  expect(found.fit!.misfitMm.largest).toBeLessThan(NEAR_MM);
  expect(ceiling!.noGo).toHaveLength(truth.noGo.length);
  for (const thing of truth.noGo) {
    const middle = thing.centreMm ?? thing.cornerMm!.map((c, i) => c + thing.sizeMm![i]! / 2);
    const match = ceiling!.noGo.find((noGo) => {
      if (noGo.kind !== thing.kind) return false;
      const { circle, rectangle, polygonMm } = noGo;
      const at =
        circle?.centreMm ??
        rectangle?.cornerMm.map((c, i) => c + rectangle.sizeMm[i]! / 2) ??
        middleOf(polygonMm!);
      return Math.hypot(at[0]! - middle[0]!, at[1]! - middle[1]!) < NEAR_MM;
    });
    expect(match, `${thing.kind} at ${middle.join(", ")}`).toBeDefined();
    if (thing.radiusMm) near([match!.circle!.radiusMm], [thing.radiusMm]);
    if (match!.rectangle) near(match!.rectangle.sizeMm, thing.sizeMm!);
  }
}

const middleOf = (points: readonly number[][]): number[] =>
  [0, 1].map((k) => points.reduce((sum, p) => sum + p[k]!, 0) / points.length);

describe("reflected ceiling plans by another program's writer", () => {
  test("standard layers far from the origin; nested, mirrored and arrayed blocks, loose lines, a frozen layer", () => {
    const found = survey("standard-layers");
    expectTruth(found, drawings["standard-layers"]!);
    expect(found.room!.name).toBe("Reading room");
    expect(found.left).toContainEqual({ what: "lines on layer A-FURN, which is frozen or off", count: 1 });
  });

  test("24 x 48 in tiles in inches, turned, tees drawn by both edges", () => {
    const found = survey("turned-inches");
    expectTruth(found, drawings["turned-inches"]!);
    expect(found.fit!.turnDeg).toBeCloseTo(17.3, 3);
    // asked for along its walls, as it is measured in the room
    const { sizeMm } = found.sizes.find(({ unit }) => unit === "in")!;
    expect(sizeMm.map(Math.round)).toEqual([7315, 4572]);
    expect(found.ceiling!.outlineMm).toHaveLength(6);
  });

  test("a unit that can't be right is asked for, with the room's size in each", () => {
    const found = survey("wrong-unit");
    expect(found).toMatchObject({ ask: "unit", stated: "in", ceiling: null });
    expect(found.sizes.filter(({ likely }) => likely).map(({ unit }) => unit)).toEqual(["mm"]);
    expect(found.sizes[0]).toMatchObject({ unit: "mm", sizeMm: [5000, 3750] });
    expectTruth(survey("wrong-unit", { unit: "mm" }), drawings["wrong-unit"]!);
  });

  test("walls in single lines of an R12 file: three rooms, one is picked", () => {
    const asked = survey("three-rooms", { unit: "m" });
    expect(asked.ask).toBe("room");
    expect(asked.rooms.map(({ number, name }) => [number, name])).toEqual([
      [1, "Lounge"],
      [2, "Den"],
      [3, "Study"],
    ]);
    expectTruth(survey("three-rooms", { unit: "m", room: 3 }), drawings["three-rooms"]!);
  });

  test("a plan brought in as one block seen from behind, with a column; the word BLOCK as a text", () => {
    expectTruth(survey("mirrored"), drawings["mirrored"]!);
  });

  test("a storey in nested blocks: two rooms, a wall open at its door, loose fittings, crossed heads, a column, tags", () => {
    const asked = survey("nested-storey");
    expect(asked.rooms.map(({ number, name }) => [number, name])).toEqual([
      [1, "Workshop"],
      [2, "Store"],
    ]);
    const found = survey("nested-storey", { room: 1 });
    expectTruth(found, drawings["nested-storey"]!);
    expect(found.left).toContainEqual({
      what: "openings in the walls, closed with a straight line",
      count: 1,
    });
  });

  test("names of no system: a column where tees cross, main runners by themselves, ticks at loose heads", () => {
    expectTruth(survey("no-system"), drawings["no-system"]!);
  });

  test("one block as four rooms, turned and mirrored: numbers for names, tees by their shape, a curve that can't be read", () => {
    const asked = survey("four-suites");
    expect(asked.rooms.map(({ name }) => name).toSorted()).toEqual([
      "Room 101",
      "Room 102",
      "Room 103",
      "Room 104",
    ]);
    const turned = asked.rooms.find(({ name }) => name === "Room 103")!;
    const found = survey("four-suites", { room: turned.number });
    expectTruth(found, drawings["four-suites"]!);
    expect(found.ceiling!.outlineMm[0]).toEqual([0, 0]);
    expect(found.taken.find(({ name }) => name === "CEILING")!.why).toBe("its lines repeat");
    expect(found.left).toContainEqual({
      what: "SPLINE on layer CURVES, of a kind that is not read",
      count: 4,
    });
  });

  test("a hatch is lines between its edges only", () => {
    const ell: [number, number][] = [
      [0, 0],
      [4, 0],
      [4, 2],
      [2, 2],
      [2, 4],
      [0, 4],
    ];
    const across = { base: [0, 0.5] as [number, number], angleDeg: 0, step: [0, 1] as [number, number] };
    const hatch = { layer: "0", extrusionZ: 1, loops: [ell], families: [across] };
    const ends = hatchLines(hatch).map((line) => line.map(([x]) => x));
    expect(ends).toEqual([
      [0, 4],
      [0, 4],
      [0, 2],
      [0, 2],
    ]);
  });

  test("what a person says of a layer goes before its name", () => {
    const found = survey("standard-layers", { roles: new Map([["layer E-LITE", "ignore"]]) });
    expect(found.ceiling!.noGo.filter(({ kind }) => kind === "luminaire")).toHaveLength(0);
    expect(found.taken.find(({ name }) => name === "E-LITE")).toMatchObject({
      role: "ignore",
      why: "as said",
    });
  });

  test("a layer called only COLS: columns where it holds short shapes, the building's axes where it holds long lines", () => {
    const text = readFileSync(`${FOLDER}/nested-storey.dxf`, "utf8").replaceAll("S-COLS", "COLS");
    const columns = surveyDrawing(readDrawing(text, "cols"), { room: 1 });
    expect(columns.taken.find(({ name }) => name === "COLS")).toMatchObject({ role: "outline", why: "COLS" });
    expectTruth(columns, drawings["nested-storey"]!);

    const drawing = readDrawing(readFileSync(`${FOLDER}/standard-layers.dxf`, "utf8"), "axes");
    const points = drawing.pieces.flatMap((piece) => piece.points);
    const [xs, ys] = [0, 1].map((k) => points.map((p) => p[k]!));
    const [low, high] = [Math.min(...ys!), Math.max(...ys!)];
    const [left, right] = [Math.min(...xs!), Math.max(...xs!)];
    // three axes, two of them through the room: taken for walls they would cut it up
    const axes = [0.3, 0.6, 0.9].map((share) => left + share * (right - left));
    for (const x of axes)
      drawing.pieces.push({
        layer: "COLS",
        blocks: [],
        inserts: [],
        points: [
          [x, low],
          [x, high],
        ],
        closed: false,
      });
    const found = surveyDrawing(drawing);
    expect(found.taken.find(({ name }) => name === "COLS")!.role).toBe("ignore");
    expectTruth(found, drawings["standard-layers"]!);
  });
});
