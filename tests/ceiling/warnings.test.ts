import { describe, expect, it } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { NO_GO_PRESETS } from "../../src/ceiling/presets.ts";
import { ceilingWarnings } from "../../src/ceiling/warnings.ts";
import type { LengthUnits } from "../../src/job/units.ts";
import { NO_GO_KINDS } from "../../src/job/noGoKinds.ts";
import { noGoSchema } from "../../src/job/sections/ceiling.ts";
import { rectangle, section } from "./sections.ts";

const warn = (change: Parameters<typeof section>[0], units: LengthUnits = "mm") => {
  const open = section(change);
  // every size measured, as what would be assumed
  const { teeFaceMm, wallAngleMm, thicknessMm, tileMm } = makeCeiling(open).grid;
  const s = { heightMm: 2700, ...open, grid: { ...open.grid, teeFaceMm, wallAngleMm, thicknessMm, tileMm } };
  return ceilingWarnings({ ceiling: s, units }, makeCeiling(s));
};
const codes = (change: Parameters<typeof section>[0]) => warn(change).map((w) => w.code);
const head = (x: number, y: number) => ({
  kind: "sprinkler" as const,
  circle: { centreMm: [x, y] as [number, number], radiusMm: 40 },
});

describe("ceilingWarnings", () => {
  it("have nothing to say of a plain room", () => {
    expect(warn({})).toEqual([]);
    expect(warn({ voidMm: 75 })).toEqual([]);
  });

  it.each([
    // FACTS.liftMm: 75 mm, 3 in, at least to lift a tile.
    ["a void too low to lift a tile", { voidMm: 74 }, ["tile-lift"]],
    ["a bearing that nobody measured", { bearingFrom: "not-measured" }, ["bearing-not-measured"]],
    ["610 taken for 24 in", { grid: { moduleMm: [610, 609.6] } }, ["module-nearly-standard"]],
    [
      "a tile that can slide off a narrow tee",
      { grid: { moduleMm: [600, 600], teeFaceMm: 15, tileMm: [592, 595] } },
      ["tile-bearing"],
    ],
    [
      "a measured border under half",
      { outlineMm: rectangle(2000, 1800), grid: { moduleMm: [600, 600], originMm: [250, 0] } },
      ["narrow-border"],
    ],
    [
      "slivers",
      { outlineMm: rectangle(1810, 1800), grid: { moduleMm: [600, 600], originMm: [0, 0] } },
      ["narrow-border", "slivers"],
    ],
    [
      "a zero point elsewhere",
      {
        outlineMm: [
          [100, 0],
          [1900, 0],
          [1900, 1800],
          [100, 1800],
        ],
        grid: { moduleMm: [600, 600] },
      },
      ["origin-elsewhere"],
    ],
    ["wall names left over", { walls: ["a", "b", "c", "d", "e"] }, ["too-many-wall-names"]],
    ["a zone beside the room", { noGo: [head(-500, 300)] }, ["zone-outside-room"]],
    [
      "a tile covered by a zone",
      { noGo: [{ kind: "luminaire", rectangle: { cornerMm: [0, 0], sizeMm: [609.6, 609.6] } }] },
      ["tile-takes-no-hole"],
    ],
    // common practice, no source: the whole tile waits until somebody named has agreed.
    ["a head nobody agreed to", { noGo: [head(914, 914)] }, ["no-go-not-agreed"]],
    ["nothing where its tile is left plain", { noGo: [head(914, 914)], tiles: { E2: { use: "plain" } } }, []],
    [
      "a head whose owner is only named, or wrote nothing that can be quoted",
      { noGo: [{ ...head(914, 914), owner: "sprinkler contractor", agreement: { answer: "agreed", who: "R. Sand", on: "2031-02-14" } }] }, // prettier-ignore
      ["no-go-not-agreed"],
    ],
    [
      "a lamp that was refused",
      { noGo: [{ ...head(914, 914), kind: "luminaire", agreement: { answer: "refused", who: "owner" } }] },
      ["no-go-refused"],
    ],
    [
      "nothing where somebody agreed, with a name, a day and words",
      { noGo: [{ ...head(914, 914), agreement: { answer: "agreed", who: "R. Sand", on: "2031-02-14", words: "50 mm clear" } }] }, // prettier-ignore
      [],
    ],
  ] as const)("tell of %s", (_, change, expected) => {
    expect(codes(change as Parameters<typeof section>[0])).toEqual([...expected]);
    for (const { message } of warn(change as Parameters<typeof section>[0], "ft-in"))
      expect(message).not.toMatch(/\d (mm|cm|m)\b/);
  });

  it("tell 610 mm from 24 in where both round to 2 ft", () => {
    // 610 / 25.4 = 24.016; ten tiles 4 mm, 5/32 in, which a tape shows as 3/16
    expect(warn({ grid: { moduleMm: [610, 609.6] } }, "ft-in")[0]!.message).toContain(
      `24.02 in is nearly 24 in, but not quite; over ten tiles that is 3/16"`,
    );
  });

  it("say what nobody measured, and what stands in for it until then", () => {
    const open = section({ heightMm: 2612, grid: { moduleMm: [609.6, 609.6], teeFaceMm: 15 } });
    const [{ code, message } = { code: "", message: "" }, ...others] = ceilingWarnings(
      { ceiling: open, units: "mm" },
      makeCeiling(open),
    );
    expect(others).toEqual([]);
    expect(code).toBe("size-not-measured");
    // 24 in less 1/4 in is 603.25 mm, 7/8 in is about 22 mm and 5/8 in about 16 mm
    for (const words of [
      "wall angle (22 mm assumed)",
      "tile (603.25 mm × 603.25 mm assumed)",
      "(16 mm assumed)",
    ])
      expect(message).toContain(words);
    expect(message).not.toMatch(/height|tees/);
  });

  it("name the tile and never say that all is well", () => {
    const [warning] = warn({ noGo: [head(914, 914)] });
    expect(warning!.message).toContain("tile E2");
    expect(warning!.path).toBe("ceiling.noGo[0]");
    for (const w of warn({ voidMm: 20, noGo: [head(914, 914), head(-900, 0)] }))
      expect(w.message).not.toMatch(/\b(ok|okay|safe|compliant)\b/i);
  });
});

describe("presets for no-go zones", () => {
  it("cover every kind and are valid zones", () => {
    expect(NO_GO_PRESETS.map((p) => p.kind)).toEqual([...NO_GO_KINDS]);
    for (const { kind, clearanceMm, shape } of NO_GO_PRESETS) {
      const zone =
        "circle" in shape
          ? { kind, clearanceMm, circle: { centreMm: [900, 900], ...shape.circle } }
          : { kind, clearanceMm, rectangle: { cornerMm: [900, 900], ...shape.rectangle } };
      expect(noGoSchema.safeParse(zone).success).toBe(true);
    }
    // Common practice, no source: escutcheon radius + 50 mm.
    expect(NO_GO_PRESETS.find((p) => p.kind === "sprinkler")!.clearanceMm).toBe(50);
  });
});
