import { describe, expect, test } from "vitest";
import type { LengthUnits } from "../../src/job/units.ts";
import { decimalsOf, formatMoney, toMinor } from "../../src/takeoff/money.ts";
import { assumedFacts, makeTakeoff } from "../../src/takeoff/takeoff.ts";
import type { StrandFacts } from "../../src/takeoff/types.ts";
import { GRID_CLASS_KG_PER_M, strandGPerM } from "../../src/takeoff/weight.ts";
import { cluster, room, type RoomSpec } from "../bundles/support.ts";

function takeoff(
  section: NonNullable<RoomSpec["takeoff"]> = {},
  facts: Partial<StrandFacts> = {},
  units: LengthUnits = "mm",
) {
  const input = room({
    bundles: {},
    takeoff: section,
    holes: [...cluster(0, 0, 30), ...cluster(1, 0, 20, 1)],
  });
  input.job.units = units;
  return makeTakeoff(input, { ...assumedFacts(input), ...facts });
}

describe("weights", () => {
  test("strand, by FACTS.pmmaGPerCm3 (density 1.19): 0.5 mm 0.23; 0.75 mm 0.53; 1 mm 0.94; 1.5 mm 2.1; 3 mm 8.4 g/m", () => {
    for (const [d, grams, digits] of [
      [0.5, 0.23, 2],
      [0.75, 0.53, 2],
      [1, 0.94, 2],
      [1.5, 2.1, 1],
      [3, 8.4, 1],
    ] as const)
      // prettier-ignore
      expect(Math.abs(strandGPerM(d) - grams)).toBeLessThanOrEqual(0.6 * 10 ** -digits); // printed to that digit
  });

  test("load classes, ASTM C635: 5, 12, 16 lb/ft; as area load at 4 ft 6.1, 14.6, 19.5 kg/m2", () => {
    const kgPerM = (lbPerFt: number) => (lbPerFt * 0.45359237) / 0.3048;
    const { light, intermediate, heavy } = GRID_CLASS_KG_PER_M;
    expect([light, intermediate, heavy]).toEqual([5, 12, 16].map((lb) => Number(kgPerM(lb).toFixed(1))));
    expect([light, intermediate, heavy].map((kg) => Number((kg / 1.2192).toFixed(1)))).toEqual([
      6.1, 14.7, 19.5,
    ]);
  });

  test("what is added to a tile of 24 in lies in 0.3 to 0.55 kg/m2 with velvet of 0.2 kg/m2", () => {
    const { weights } = takeoff({ fabric: { kgPerM2: 0.2 } });
    for (const tile of weights.filter(({ areaM2 }) => areaM2 > 0.3)) {
      expect(tile.addedKgPerM2).toBeGreaterThanOrEqual(0.3);
      expect(tile.addedKgPerM2).toBeLessThanOrEqual(0.55);
    }
  });

  test("one tile by hand", () => {
    const { weights } = takeoff({
      fabric: { kgPerM2: 0.25, wrapMm: 50 },
      grid: { adhesiveKgPerM2: 0.1, tileKgPerM2: 5 },
    });
    // D1: 595 mm square (the default for 600 mm), 16 mm thick: blank 727 mm. 30 strands of 0.75 mm, 1 m each, glue 0.25 g each.
    const area = 0.595 ** 2;
    const added = 0.727 ** 2 * 0.25 + area * 0.1 + (30 * ((Math.PI / 4) * 0.5625 * 1.19 + 0.25)) / 1000;
    const tile = weights.find((w) => w.tile === "D1")!;
    expect(tile.addedKg).toBeCloseTo(added, 3);
    expect(tile.loadKgPerM).toBeCloseTo(((area * 5 + added) / area) * 1.2192, 2);
  });

  test("a tile too heavy for the class: number, limit and excess; everything else still there", () => {
    const { faults, order, hours } = takeoff({ grid: { loadClass: "light", tileKgPerM2: 9 } });
    expect(faults[0]!.code).toBe("tile-too-heavy");
    expect(faults[0]!.expected).toContain("7.4 kg");
    expect(faults[0]!.got).toMatch(/^1\d\.\d+ kg\/m beside tile .*kg\/m too much/);
    expect(order.length).toBeGreaterThan(5);
    expect(hours.personH).toBeGreaterThan(0);
    expect(takeoff({ grid: { loadClass: "heavy", tileKgPerM2: 9 } }).faults).toEqual([]);
  });
});

describe("hours from rates (common practice, no source)", () => {
  test("by hand for 50 strands on 20 tiles, one person", () => {
    const { hours } = takeoff({ people: 1 }, { tails: 2, engines: 1 });
    const of = (name: string) => hours.tasks.find((task) => task.name === name)!.personH;
    expect(of("survey and map")).toBe(3);
    expect(of("take down, number, stack")).toBe(1.6); // 20 / 25 by two
    expect(of("punch")).toBe(0.56); // 50 / 90
    expect(of("thread and seat")).toBe(0.63); // 50 / 80
    expect(of("label and tie tails")).toBe(0.42); // 2 x 12.5 min
    expect(of("common ends")).toBe(1.71); // 1.5 h + 50 x 15 s
    expect(of("re-hang and route")).toBe(4); // 20 / 10 by two
    expect(hours.clockH).toBe(hours.personH);
    const sum = hours.tasks.reduce((total, { personH }) => total + (personH ?? 0), 0);
    expect(hours.personH).toBeCloseTo(sum, 1);
  });

  test("two people take half the clock, and wrap at their own rate", () => {
    const [one, two] = [takeoff({ people: 1 }), takeoff({ people: 2 })];
    expect(two.hours.clockH).toBeCloseTo(two.hours.personH / 2, 1);
    const wrap = (t: typeof one) => t.hours.tasks.find(({ name }) => name === "spray and wrap")!.personH!;
    expect(wrap(two) / wrap(one)).toBeCloseTo((2 / 9) * 5, 2);
  });

  test("a whole job of 986 strands comes out near 25 strands an hour all-in (20 to 30)", () => {
    const strands = Array.from({ length: 986 }, () => ({
      tile: "D1",
      diameterMm: 0.75,
      lengthM: 4,
      kit: false,
    }));
    const { hours } = takeoff({}, { strands, tails: 20, engines: 2 });
    expect(hours.strandsPerPersonH).toBeGreaterThanOrEqual(20);
    expect(hours.strandsPerPersonH).toBeLessThanOrEqual(30);
  });

  test("zero rates are told of by name, and everything else counted", () => {
    const { hours, faults, quote } = takeoff({ rates: { pokeHolesPerH: 0, portH: 0, portSPerStrand: 0 }, prices: { hour: 50 } }, { engines: 1 }); // prettier-ignore
    expect(faults[0]).toMatchObject({ code: "zero-rate", got: "0 for punch, common ends" });
    expect(hours.tasks.find(({ name }) => name === "punch")!.personH).toBeNull();
    expect(Number.isFinite(hours.personH)).toBe(true);
    expect(quote.netMinor).toBe(toMinor(hours.personH * 50, "EUR"));
  });
});

describe("order", () => {
  test("quantities by hand", () => {
    const strands = Array.from({ length: 100 }, (_, i) => ({ tile: i < 60 ? "D1" : "D2", diameterMm: i < 90 ? 0.75 : 1.5, lengthM: i < 60 ? 3 : 4, kit: false })); // prettier-ignore
    const { order } = takeoff(
      { strandWaste: 0.12, spareStrandsPerTile: 2 },
      { strands, tails: 2, engines: 1, labelSheets: 1, assumed: false },
    );
    const line = (item: string) => order.filter((l) => l.item === item).map((l) => [l.detail, l.quantity]);
    expect(line("hot-glue sticks")).toEqual([["11 × 100 mm, low temperature", 2]]); // 100 / 50
    expect(line("spray adhesive")[0]![1]).toBe(3); // 20 tiles x 0.354 m2 = 7.08 m2 at 2.5
    expect(line("strand")).toEqual([["0.75 mm, 3 m", 68], ["0.75 mm, 4 m", 34], ["1.5 mm, 4 m", 12]]); // prettier-ignore
    expect(line("spare strand").map(([, n]) => n)).toEqual([2, 2]);
    expect(line("staples")).toEqual([]);
    for (const { source } of order) expect(source).not.toBe("");
  });

  test("a frame takes staples: 2.38 m round a tile, one every 38 mm", () => {
    const staples = takeoff({ frame: true }).order.find(({ item }) => item === "staples")!;
    expect(staples.quantity).toBe(20 * Math.ceil(2380 / 38));
  });

  test("waste and spares never turn into fewer than are used", () => {
    const { order } = takeoff({ strandWaste: 0, spareStrandsPerTile: 0 });
    const sum = order.filter(({ item }) => item === "strand").reduce((n, { quantity }) => n + quantity, 0);
    expect(sum).toBe(50);
  });
});

describe("price", () => {
  const prices = { currency: "EUR", hour: 60, fabricPerM: 30, taxPercent: 19, contingency: 0.1, extras: [{ what: "travel", price: 99.995 }] }; // prettier-ignore

  test("lines, contingency and tax add up to the cent", () => {
    const { quote, hours, fabricM } = takeoff({ prices });
    const sum = quote.lines.reduce((total, { totalMinor }) => total + totalMinor, 0);
    expect(quote.lines.map(({ what }) => what)).toEqual(["labour", "fabric", "travel"]);
    expect(quote.lines[0]!.totalMinor).toBe(Math.round(hours.personH * 6000));
    expect(quote.lines[1]!.totalMinor).toBe(Math.round(fabricM * 3000));
    expect(quote.contingencyMinor).toBe(Math.round(sum * 0.1));
    expect(quote.netMinor).toBe(sum + quote.contingencyMinor);
    expect(quote.taxMinor).toBe(Math.round(quote.netMinor * 0.19));
    expect(quote.grossMinor).toBe(quote.netMinor + quote.taxMinor);
  });

  test("a job in feet prices by whole feet (0.3048 m, agreement of 1959)", () => {
    const line = (units: "mm" | "ft-in") =>
      takeoff({ prices: { ...prices, fabricPerM: 1.25 / 0.3048 } }, {}, units).quote.lines[1]!;
    expect(line("mm").unit).toBe("m");
    const { unit, quantity, eachMinor, totalMinor } = line("ft-in");
    expect({ unit, eachMinor }).toEqual({ unit: "ft", eachMinor: 125 });
    expect(quantity - line("mm").quantity / 0.3048).toBeLessThan(1);
    expect(totalMinor).toBe(quantity * 125);
  });

  test("what has no price is named, not counted at nothing", () => {
    const { warnings } = takeoff({ prices });
    const words = warnings.find(({ code }) => code === "no-price")!.message;
    for (const item of ["spray adhesive", "hot-glue sticks", "strand 0.75 mm", "strand 1 mm"])
      expect(words).toContain(item);
  });

  test("amounts look as ECMAScript's own Intl writes them (currency code, en-US), and decimals follow ISO 4217", () => {
    for (const currency of ["EUR", "USD", "CAD", "JPY", "KWD", "CHF", "ISK", "TND"]) {
      const intl = new Intl.NumberFormat("en-US", { style: "currency", currency, currencyDisplay: "code" });
      expect(decimalsOf(currency)).toBe(intl.resolvedOptions().maximumFractionDigits);
      for (const amount of [0, 7, 1234.5, 9876543.219]) {
        const ours = formatMoney(toMinor(amount, currency), currency);
        expect(ours).toBe(intl.format(amount));
      }
    }
    expect(formatMoney(-5, "EUR")).toBe("EUR\u00A0-0.05");
  });
});
