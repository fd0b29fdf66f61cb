import { describe, expect, test } from "vitest";
import { ASSUMED_MM } from "../../src/job/assumed.ts";
import { jobSchema } from "../../src/job/schema.ts";
import { COMMON_PRACTICE, FROM_MEMORY, type Fact } from "../../src/trade/fact.ts";
import { valueWords } from "../../src/job/factWords.ts";
import { factAt, FACTS, SUBJECTS } from "../../src/trade/facts.ts";

const facts = Object.entries<Fact>(FACTS);

/** A job with one of everything that a fact may be the default of, all else left out. */
const bare = jobSchema.parse({
  format: "velarium.job",
  version: jobSchema.shape.version.value,
  title: "bare",
  ceiling: { outlineMm: [[0, 0], [3000, 0], [3000, 3000]], grid: { moduleMm: [600, 600] } },
  sky: { chosen: "a", options: [{ id: "a", place: { latDeg: 0, lonDeg: 0 }, moment: { utc: "2030-01-01T00:00:00Z" } }] },
  strands: { stock: [{ diameterMm: 1, count: 1 }] },
  bundles: { engines: [{ letter: "A", atMm: [0, 0] }] },
  scene: { seats: [{ atMm: [0, 0] }] },
}); // prettier-ignore

const at = (path: string): unknown =>
  path
    .replaceAll("[]", ".0")
    .split(".")
    .reduce<unknown>((value, key) => (value as Record<string, unknown>)[key], bare);

describe("the facts of the trade", () => {
  test.each(facts)("%s says what it is and where it comes from", (_name, { what, source, range, value }) => {
    expect(what.length).toBeGreaterThan(5);
    expect(source).not.toMatch(/^\s*$/);
    // an admission is worded in one way only, so that a reader can search for it
    if (/practice/i.test(source)) expect(source).toContain(COMMON_PRACTICE);
    if (/memory/i.test(source)) expect(source).toContain(FROM_MEMORY);
    if (range) expect(value >= range[0] && value <= range[1]).toBe(true);
  });

  test.each(facts.flatMap(([, fact]) => (fact.key ? [[fact.key, fact] as const] : [])))(
    "%s: the job's default is the fact",
    (key, fact) => {
      // a size of the ceiling has no default: what stands in for it is said to be assumed
      const assumed = Object.entries(ASSUMED_MM).find(([own]) => /^ceiling\b/.test(key) && key.endsWith(own));
      expect(assumed ? at(key) : undefined).toBeUndefined();
      expect(assumed?.[1] ?? at(key)).toBe(fact.value);
      expect(factAt(key.replaceAll("[]", "[3]"))).toBe(fact);
    },
  );

  test("no name and no key stands twice", () => {
    const names = SUBJECTS.flatMap((subject) => Object.keys(subject.facts));
    expect(new Set(names).size).toBe(names.length);
    const keys = facts.flatMap(([, { key }]) => key ?? []);
    expect(new Set(keys).size).toBe(keys.length);
  });

  test("values read as a person writes them", () => {
    expect(valueWords(FACTS.wrapMm, "mm")).toBe("50 mm (usual 25 to 50)");
    // 25.4 mm to the inch: 50 mm is 31.5 sixteenths
    expect(valueWords(FACTS.wrapMm, "ft-in")).toBe('1 15/16" (usual 1" to 1 15/16")');
    expect(valueWords(FACTS.portDiameterMm, "ft-in")).toMatch(/ mm/);
    // 2.5 m² is 26.9 sq ft
    expect(valueWords({ ...FACTS.wrapMm, value: 2.5, unit: "m2", range: undefined }, "ft-in")).toBe(
      "27 sq ft",
    );
    expect(valueWords({ ...FACTS.wrapMm, value: 2.5, unit: "m2", range: undefined }, "mm")).toBe(
      "2.5 m\u00B2",
    );
    expect(valueWords(FACTS.strandWaste, "ft-in")).toBe("12 % (usual 10 to 15)");
    expect(valueWords(FACTS.pmmaIndex, "mm")).toBe("1.49");
  });

  // Against sources outside the project.
  test("numbers that a standard gives agree with its own unit", () => {
    const LB_PER_FT = 0.45359237 / 0.3048; // international pound and foot, exact
    // ASTM C635: 5, 12 and 16 lb/ft
    expect(FACTS.lightDutyKgPerM.value).toBeCloseTo(5 * LB_PER_FT, 1);
    expect(FACTS.intermediateDutyKgPerM.value).toBeCloseTo(12 * LB_PER_FT, 1);
    expect(FACTS.heavyDutyKgPerM.value).toBeCloseTo(16 * LB_PER_FT, 1);
    // Pogson 1856: 5 mag = 100 times
    expect((10 * Math.log10(100)) / 5).toBe(FACTS.dbPerMag.value);
    // one arc minute at a metre
    expect(1000 * Math.tan((FACTS.acuityArcmin.value / 60) * (Math.PI / 180))).toBeCloseTo(0.29, 2);
    expect(Math.asin(FACTS.numericalAperture.value)).toBeCloseTo(Math.PI / 6, 12);
    expect(FACTS.portStrands.value).toBe(FACTS.portFill.value * (FACTS.portDiameterMm.value / 0.75) ** 2);
  });
});
