import { describe, expect, test } from "vitest";
import { canPlace, makePattern } from "../../src/pattern/pattern.ts";
import { settingInput, settle, type Setting } from "./synthetic.ts";

const stars = [
  { hip: 1, xMm: 300, yMm: 300, magnitude: 1 },
  { hip: 2, xMm: 400, yMm: 300, magnitude: 2 },
  { hip: 3, xMm: 600, yMm: 300, magnitude: 3 },
];
const withHand = (byHand: NonNullable<Setting["pattern"]>["byHand"], count = 6) =>
  settle({ stars, pattern: { byHand }, strands: { stock: [{ diameterMm: 1, count }, { diameterMm: 2, count: 1 }] } }); // prettier-ignore

describe("decisions by hand", () => {
  test("a pinned star stands just there, others keep away from it", () => {
    const p = withHand([{ do: "pin", night: "a", what: 3, atMm: [303, 300] }]);
    const pinned = p.holes.find((h) => h.star === 3)!;
    expect(pinned).toMatchObject({ xMm: 303, yMm: 300, byHand: true, movedMm: 297 });
    // The brightest star gives way to it: to 8 mm from the pin, along the line.
    expect(p.holes.find((h) => h.star === 1)).toMatchObject({ xMm: 295, yMm: 300, movedMm: 5 });
    expect(p.byHand).toEqual([{ index: 0, kept: true, why: "" }]);
  });

  test("a pin that breaks a hard rule is reported, and the star is settled as usual", () => {
    const p = withHand([
      { do: "pin", night: "a", what: 1, atMm: [600, 300] },
      { do: "pin", night: "a", what: 2, atMm: [-50, 300] },
      { do: "pin", night: "a", what: 3, atMm: [100, 100] },
      { do: "add", atMm: [104, 100] },
      { do: "pin", night: "a", what: 77, atMm: [200, 200] },
      { do: "pin", night: "a", what: 3, atMm: [120, 100] },
      { do: "add", atMm: [200, 500], diameterMm: 0.3 },
      { do: "add", atMm: [220, 500], diameterMm: 2 },
      { do: "add", atMm: [240, 500], diameterMm: 2 },
    ]);
    const why = p.byHand.map((r) => r.why);
    expect(why[0]).toContain("tee");
    expect(why[1]).toContain("outside");
    expect(why[2]).toBe("");
    expect(why[3]).toBe("nearer than 8 mm to the hole of decision 3 by hand");
    expect(why[4]).toBe("star 77 isn't on this ceiling under this sky");
    expect(why[5]).toBe("star 3 is pinned already by decision 3");
    expect(why[6]).toBe("no 0.3 mm strand is in stock");
    expect(why[7]).toBe("");
    expect(why[8]).toBe("no 2 mm strand is left in stock");
    expect(p.holes.find((h) => h.star === 1)).toMatchObject({ xMm: 300, yMm: 300, byHand: false });
    expect(p.holes.find((h) => h.diameterMm === 2)).toMatchObject({ xMm: 220, yMm: 500, kind: "filler", byHand: true }); // prettier-ignore
  });

  test("an omitted star has no hole and joins nobody", () => {
    const p = withHand([{ do: "omit", what: 1, why: "the client's wish" }]);
    expect(p.holes.some((h) => h.star === 1)).toBe(false);
    expect(p.lost).toMatchObject([{ star: 1, reason: "left out by hand", detail: "the client's wish" }]);
    expect(p.byHand[0]!.kept).toBe(true);
  });

  test("a pin deep in the catalogue makes the brighter ones left over named as lost", () => {
    const p = withHand([{ do: "pin", night: "a", what: 3, atMm: [200, 200] }], 0);
    expect(p.holes.map((h) => h.star)).toEqual([3]);
    expect(p.lost.map((l) => [l.star, l.reason])).toEqual([[1, "no strand left"], [2, "no strand left"]]); // prettier-ignore
  });

  test("more pins than strands: the first ones hold", () => {
    const p = withHand([{ do: "pin", night: "a", what: 1, atMm: [200, 200] }, { do: "pin", night: "a", what: 2, atMm: [250, 200] }], 0); // prettier-ignore
    expect(p.byHand.map((r) => r.why)).toEqual(["", "all 1 strands are used by other decisions by hand"]);
  });

  test("an offset goes with its star; in another sky the pin says that it doesn't apply", () => {
    const shifted = stars.map((s) => ({ ...s, xMm: s.xMm + 40 }));
    const pin = (night: string) => [
      { do: "pin" as const, what: 2, night, offsetMm: [12, -9] as [number, number] },
    ];
    for (const sky of [stars, shifted]) {
      const { xMm, yMm } = sky.find((s) => s.hip === 2)!;
      const own = settle({ stars: sky, pattern: { byHand: pin("a") } }).holes.find((h) => h.star === 2)!;
      expect(own).toMatchObject({ xMm: xMm + 12, yMm: yMm - 9, movedMm: 15, byHand: true });
      const other = settle({ stars: sky, pattern: { byHand: pin("winter") } });
      expect(other.holes.find((h) => h.star === 2)).toMatchObject({ xMm, yMm, byHand: false });
      expect(other.byHand).toMatchObject([{ kept: false, why: "it was pinned in another night (winter) and doesn't apply in this one" }]); // prettier-ignore
    }
  });

  test("a place on the plan, as older jobs have it, holds at another date, or is reported", () => {
    const shifted = stars.map((s) => ({ ...s, xMm: s.xMm + 40 }));
    const byHand = [{ do: "pin" as const, night: "a", what: 2, atMm: [450, 450] as [number, number] }];
    for (const sky of [stars, shifted])
      expect(settle({ stars: sky, pattern: { byHand } }).holes.find((h) => h.star === 2)).toMatchObject({ xMm: 450, yMm: 450 }); // prettier-ignore
  });
});

describe("whether a hole may lie at a point (while dragging)", () => {
  const input = settingInput({ stars, strands: { stock: [{ diameterMm: 1, count: 3 }] } });
  const { holes } = makePattern(input);
  const first = holes.find((h) => h.star === 1)!;

  test("says which rule forbids it", () => {
    const among = { ceiling: input.ceiling, holes, spacingMm: 8 };
    expect(canPlace([200_000, 200_000], among)).toBe("");
    expect(canPlace([600_000, 200_000], among)).toContain("tee");
    expect(canPlace([307_999, 300_000], among)).toBe(
      `nearer than 8 mm to hole ${first.tile} ${first.numberInTile}`,
    );
    expect(canPlace([308_000, 300_000], among)).toBe("");
    expect(canPlace([302_000, 300_000], { ...among, exceptId: first.id })).toBe("");
  });
});
