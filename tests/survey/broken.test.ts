import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { JobFaults } from "../../src/job/faults.ts";
import { arc } from "../../src/survey/curves.ts";
import { readDrawing } from "../../src/survey/drawing.ts";
import { hatchLines } from "../../src/survey/hatch.ts";
import { surveyDrawing } from "../../src/survey/survey.ts";

const NAMES = ["standard-layers", "turned-inches", "wrong-unit", "three-rooms", "mirrored"];
const texts = NAMES.map((name) => readFileSync(`tests/authorities/drawings/${name}.dxf`, "utf8"));

/** Reads a drawing whatever it holds; only a fault in words may come out. */
function outcome(text: string): "read" | "refused" {
  try {
    surveyDrawing(readDrawing(text, "plan.dxf"));
    return "read";
  } catch (error) {
    if (error instanceof JobFaults) return "refused";
    throw error;
  }
}

describe("broken drawings", () => {
  test("what is no DXF, and one with a block that has no end, is refused with what to do", () => {
    const cases = [
      "",
      "hello",
      "AC1032\u0000\u0000",
      "AutoCAD Binary DXF\r\n\u001a\0",
      "0\nSECTION\n",
      "%PDF-1.7\n%x\n",
      "ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('IFC4'));\n",
    ];
    const endless = texts[0]!.split("\n");
    endless[endless.lastIndexOf("ENDBLK")] = "POINT";
    cases.push(endless.join("\n"));
    for (const text of cases) {
      expect(() => readDrawing(text, "plan.dxf")).toThrow(JobFaults);
      try {
        readDrawing(text, "plan.dxf");
      } catch (error) {
        expect((error as JobFaults).faults[0]).toMatchObject({
          path: "plan.dxf",
          next: expect.stringMatching(/\w+ .*\.$/) as string,
        });
      }
    }
  });

  test("a drawing cut off anywhere is refused: it has no end", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...texts),
        fc.double({ min: 0, max: 0.999, noNaN: true }),
        (text, share) => {
          expect(outcome(text.slice(0, Math.floor(text.trimEnd().length * share)))).toBe("refused");
        },
      ),
      { numRuns: 60 },
    );
  });

  test("lines changed, lost or doubled at random never end in anything but a survey or a fault in words", () => {
    const junk = fc.constantFrom(
      "",
      "-1",
      "1e308",
      "NaN",
      "SEQEND",
      "BLOCK",
      "TABLE",
      "ENDTAB",
      "9999999999",
      "INSERT",
      "VERTEX",
      "\u0000",
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...texts),
        fc.array(fc.tuple(fc.nat(), fc.constantFrom("change", "drop", "double"), junk), {
          minLength: 1,
          maxLength: 30,
        }),
        (text, edits) => {
          const lines = text.split("\n");
          for (const [at, how, value] of edits) {
            const i = at % lines.length;
            if (how === "change") lines[i] = value;
            else if (how === "drop") lines.splice(i, 1);
            else lines.splice(i, 0, lines[i]!);
          }
          outcome(lines.join("\n"));
        },
      ),
      { numRuns: 150 },
    );
  });

  test("values changed pair by pair, so that the file keeps its form", () => {
    const value = fc.oneof(
      fc.constantFrom("", "NaN", "1e300", "-0", "65536"),
      fc.integer().map(String),
      fc.double().map(String),
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...texts),
        fc.array(fc.tuple(fc.nat(), value), { minLength: 1, maxLength: 60 }),
        (text, edits) => {
          const lines = text.split("\n");
          for (const [at, to] of edits) {
            const i = (at % (lines.length / 2 - 2)) * 2 + 1;
            if (lines[Math.floor(i / 2) * 2]?.trim() !== "0") lines[i | 1] = to;
          }
          outcome(lines.join("\n"));
        },
      ),
      { numRuns: 150 },
    );
  });

  test("numbers beyond all measure end: a hatch light years away, an arc a million times round", () => {
    const loops: [number, number][][] = [
      [
        [0, 0],
        [600, 0],
        [600, 600],
      ],
    ];
    const family = { base: [1e300, 0] as [number, number], angleDeg: 90, step: [600, 0] as [number, number] };
    expect(hatchLines({ layer: "0", loops, families: [family], extrusionZ: 1 })).toEqual([]);
    expect(arc([0, 0], [300, 0], 1, 0, 1e9).length).toBe(arc([0, 0], [300, 0], 1, 0, 2 * Math.PI).length);
  });

  test("a block inside itself, and blocks that multiply without end, are told", () => {
    const entity = (...groups: (string | number)[]): string => groups.join("\n");
    const insert = (name: string, extra: (string | number)[] = []): string =>
      entity(0, "INSERT", 8, "0", 2, name, 10, 0, 20, 0, ...extra);
    const file = (blocks: string, entities: string): string =>
      entity(
        0,
        "SECTION",
        2,
        "BLOCKS",
        blocks,
        0,
        "ENDSEC",
        0,
        "SECTION",
        2,
        "ENTITIES",
        entities,
        0,
        "ENDSEC",
        0,
        "EOF",
        "",
      );
    const block = (name: string, inside: string): string =>
      entity(0, "BLOCK", 8, "0", 2, name, 10, 0, 20, 0, inside, 0, "ENDBLK");
    const loop = readDrawing(file(block("A", insert("A")), insert("A")), "plan.dxf");
    expect(loop.notRead).toEqual([{ what: "block A inside itself", count: 1 }]);
    const many = [70, 1000, 71, 1000, 44, 1, 45, 1];
    const flood = file(
      [block("A", insert("B", many)), block("B", insert("C", many)), block("C", "0\nPOINT\n8\n0")].join("\n"),
      insert("A", many),
    );
    expect(() => readDrawing(flood, "plan.dxf")).toThrow(/at most/);
  });
});
