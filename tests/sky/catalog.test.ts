import { readFileSync } from "node:fs";
import { BrokenInstallation } from "../../src/job/faults.ts";
import { beforeAll, describe, expect, test } from "vitest";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import {
  findStar,
  milkyWayLevel,
  readCatalog,
  rowOfStar,
  starLabel,
  withDeep,
} from "../../src/sky/catalog.ts";
import { type Catalog, NO_COLOUR } from "../../src/sky/types.ts";

const DEG = Math.PI / 180;
const ARCSEC = DEG / 3600;
type Vector = [number, number, number];
/** By Math.sin and Math.cos on purpose: not the arithmetic under test. */
const direction = (raDeg: number, decDeg: number): Vector => [
  Math.cos(decDeg * DEG) * Math.cos(raDeg * DEG),
  Math.cos(decDeg * DEG) * Math.sin(raDeg * DEG),
  Math.sin(decDeg * DEG),
];
const arcsecBetween = (a: Vector, b: Vector) => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) / ARCSEC;
const authority = <T>(name: string) =>
  JSON.parse(readFileSync(new URL(`../authorities/${name}`, import.meta.url), "utf8")) as { rows: T[] };

let catalog: Catalog;
beforeAll(async () => {
  catalog = await loadCatalog();
});

/** A star's direction in a year, by the table's own linear motion. */
function place(hip: number, year = 2000): Vector {
  const { stars } = catalog;
  const row = rowOfStar(stars, hip);
  const m = stars.movingRows.indexOf(row);
  const at = (axis: "x" | "y" | "z", k: number) =>
    stars[axis][row]! + (m < 0 ? 0 : stars.motion[3 * m + k]! * (year - 2000));
  const v: Vector = [at("x", 0), at("y", 1), at("z", 2)];
  const length = Math.hypot(...v);
  return [v[0] / length, v[1] / length, v[2] / length];
}

describe("star table", () => {
  test("holds 41,411 stars to V 8.00 and the one added, brightest first, ties by number", () => {
    const { stars } = catalog;
    expect(stars.count).toBe(41_412);
    expect(catalog.faintest).toBe(8);
    for (let i = 1; i < stars.count; i++) {
      const step = stars.magnitudeCenti[i]! - stars.magnitudeCenti[i - 1]!;
      if (step < 0 || (step === 0 && stars.hip[i]! <= stars.hip[i - 1]!)) {
        expect.fail(`row ${i} out of order`);
      }
    }
  });

  test("unit vectors are unit vectors", () => {
    const { x, y, z } = catalog.stars;
    for (let i = 0; i < catalog.stars.count; i++) {
      if (Math.abs(x[i]! ** 2 + y[i]! ** 2 + z[i]! ** 2 - 1) > 1e-14) expect.fail(`row ${i}`);
    }
  });

  // Published counts: OEIS A053406, "stars brighter than visual magnitude" from a Hipparcos list.
  // Down to 3 they must agree exactly. Below, that list of 117,129 stars lacks 0.9 % of the 118,217 here, so
  // ours may exceed it by up to 1 % and must never fall short.
  test.each([
    [0, 4, 0],
    [1, 15, 0],
    [2, 49, 0],
    [3, 172, 0],
    [4, 511, 0.01],
    [5, 1600, 0.01],
    [6, 4968, 0.01],
    [7, 15_328, 0.01],
    [8, 40_858, 0.01],
  ])("as many stars brighter than %i as published: %i", (limit, published, share) => {
    const found = catalog.stars.magnitudeCenti.filter((m) => m < limit * 100).length;
    expect(found).toBeGreaterThanOrEqual(published);
    expect(found).toBeLessThanOrEqual(published * (1 + share));
  });

  // Rounding of 1e-4 degrees moves a star by 0.25" at most; FK5 and ICRS differ by less than 0.15" here.
  const FK5_ARCSEC = 0.4;
  // Two centuries of transit circles against three years of Hipparcos: the rates of unresolved binaries differ
  // (Achernar by 0.008" a year). A rate with cos(dec) left out or applied twice would miss Arcturus by 6".
  const FK5_CENTURY_ARCSEC = 1.2;
  type Fk5 = [
    number,
    string,
    number,
    number,
    number,
    "+" | "-",
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  test.each(authority<Fk5>("fk5-bright-stars.json").rows)(
    "HIP %i %s is where FK5 has it, as bright, moving as fast",
    (hip, _, h, m, s, sign, d, dm, ds, raRate, decRate, v) => {
      const raDeg = (h + m / 60 + s / 3600) * 15;
      const decDeg = (sign === "-" ? -1 : 1) * (d + dm / 60 + ds / 3600);
      expect(arcsecBetween(place(hip), direction(raDeg, decDeg))).toBeLessThan(FK5_ARCSEC);
      const later = direction(raDeg + (raRate * 15) / 3600, decDeg + decRate / 3600);
      expect(arcsecBetween(place(hip, 2100), later)).toBeLessThan(FK5_CENTURY_ARCSEC);
      const row = rowOfStar(catalog.stars, hip);
      // Photometric sources differ by up to 0.1 for variables and the very brightest.
      expect(Math.abs(catalog.stars.magnitudeCenti[row]! / 100 - v)).toBeLessThanOrEqual(0.11);
    },
  );

  type Moved = { name: string; hip: number; year: number; raDeg: number; decDeg: number };
  test.each(authority<Moved>("motion-erfa.json").rows)(
    "$name in $year is where ERFA moves it",
    ({ hip, year, raDeg, decDeg }) => {
      expect(arcsecBetween(place(hip, year), direction(raDeg, decDeg))).toBeLessThan(0.3);
    },
  );

  test("Alpha Centauri moves 371 arcsec a century, and its companion keeps with it", () => {
    const moved = (hip: number) => arcsecBetween(place(hip), place(hip, 2100));
    expect(moved(71683)).toBeCloseTo(371, 0);
    const apart = (year: number) => arcsecBetween(place(71683, year), place(71681, year));
    expect(apart(2100)).toBeCloseTo(apart(2000), 1);
  });

  // Totals in arcsec a year as handbooks list the fastest naked-eye stars (values from memory, two digits).
  test.each([
    [104214, "61 Cygni A", 5.3],
    [108870, "Epsilon Indi", 4.7],
    [19849, "Omicron-2 Eridani", 4.1],
    [5336, "Mu Cassiopeiae", 3.8],
    [15510, "82 Eridani", 3.1],
    [2021, "Beta Hydri", 2.2],
    [8102, "Tau Ceti", 1.9],
  ])("HIP %i %s moves %f arcsec a year", (hip, _, rate) =>
    expect(Math.abs(arcsecBetween(place(hip), place(hip, 2100)) / 100 - rate)).toBeLessThan(0.06),
  );

  test("colours: Vega near 0, Betelgeuse and Antares red, Rigel blue (Hipparcos B-V); unknown is marked", () => {
    const colour = (hip: number) => catalog.stars.colourMilli[rowOfStar(catalog.stars, hip)]! / 1000;
    expect(colour(91262)).toBeCloseTo(0, 1);
    expect(colour(27989)).toBeGreaterThan(1.4);
    expect(colour(80763)).toBeGreaterThan(1.4);
    expect(colour(24436)).toBeLessThan(0.05);
    const unknown = catalog.stars.colourMilli.filter((c) => c === NO_COLOUR).length;
    expect(unknown).toBeGreaterThan(0);
    expect(unknown).toBeLessThan(catalog.stars.count / 50);
  });

  test("Gamma-1 Velorum stands 41.2 arcsec from Gamma-2, at position angle 220 (double-star catalogues)", () => {
    const a = place(39953);
    const b = place(1_068_243);
    expect(arcsecBetween(a, b)).toBeCloseTo(41.2, 0);
    expect(b[2]).toBeLessThan(a[2]);
    expect(starLabel(catalog, 1_068_243)).toBe("γ¹ Vel");
  });

  test("the deep set brings the whole of Hipparcos, fainter stars after the bright, and the same motions", async () => {
    const deep = await loadCatalog({ deep: true });
    expect(deep.stars.count).toBe(118_216 + 1);
    expect(deep.stars.hip.slice(0, catalog.stars.count)).toEqual(catalog.stars.hip);
    expect(new Set(deep.stars.hip).size).toBe(deep.stars.count);
    expect(deep.stars.magnitudeCenti[catalog.stars.count]!).toBeGreaterThan(800);
    expect(deep.stars.motion).toEqual(catalog.stars.motion);
    // Barnard's Star: V 9.54, RA 17h57m48.5s, Dec +4d41'36" (J2000; Hipparcos).
    const row = rowOfStar(deep.stars, 87937);
    expect(deep.stars.magnitudeCenti[row]).toBe(954);
    const barnard: Vector = [deep.stars.x[row]!, deep.stars.y[row]!, deep.stars.z[row]!];
    expect(
      arcsecBetween(barnard, direction((17 + 57 / 60 + 48.5 / 3600) * 15, 4 + 41 / 60 + 36 / 3600)),
    ).toBeLessThan(2);
  });
});

describe("names", () => {
  test.each([
    [91262, "Vega"],
    [104214, "61 Cyg"],
    [71683, "Rigil Kentaurus"],
    [123, "HIP 123"],
    [17448, "Atik (ο Per)"],
  ])("HIP %i is called %s", (hip, label) => expect(starLabel(catalog, hip)).toBe(label));

  test.each([
    ["Vega", 91262],
    ["  vega ", 91262],
    ["α Lyr", 91262],
    ["alpha Lyr", 91262],
    ["Alpha Lyrae", 91262],
    ["HIP 91262", 91262],
    ["91262", 91262],
    ["61 Cygni", 104214],
    ["gamma2 Vel", 39953],
    ["γ² Vel", 39953],
    ["γ1 Velorum", 1_068_243],
    ["HD 68243", 1_068_243],
    ["beta Ori", 24436],
    ["Markab", 113963],
  ])("%s finds its star", (text, hip) => expect(findStar(catalog, text)).toBe(hip));

  test.each(["", " ", "Nobody", "alpha Nowhere", "HIP 999999", "alpha"])("%j finds none", (text) =>
    expect(findStar(catalog, text)).toBeUndefined(),
  );

  test("all 88 constellations have a figure (IAU), and every corner is a star of the table", () => {
    expect(catalog.figures).toHaveLength(88);
    expect(new Set(catalog.figures.map((f) => f.abbreviation)).size).toBe(88);
    const numbers = new Set(catalog.stars.hip);
    for (const hip of catalog.figureStars) expect(numbers.has(hip), `HIP ${hip}`).toBe(true);
  });

  test("Orion's belt and the Plough are drawn through their stars", () => {
    const chains = (abbreviation: string) =>
      catalog.figures.find((f) => f.abbreviation === abbreviation)!.lines;
    const joined = (abbreviation: string, a: number, b: number) =>
      chains(abbreviation).some((line) =>
        line.some((hip, i) => i > 0 && [a, b].every((s) => s === hip || s === line[i - 1])),
      );
    // Belt: Mintaka HIP 25930, Alnilam 26311, Alnitak 26727.
    expect(joined("Ori", 25930, 26311)).toBe(true);
    expect(joined("Ori", 26311, 26727)).toBe(true);
    // Alkaid 67301, Mizar 65378, Alioth 62956, Megrez 59774, Phecda 58001, Merak 53910, Dubhe 54061.
    const plough = [67301, 65378, 62956, 59774];
    for (let i = 1; i < plough.length; i++) expect(joined("UMa", plough[i - 1]!, plough[i]!)).toBe(true);
    for (const hip of [58001, 53910, 54061]) expect(chains("UMa").flat()).toContain(hip);
  });
});

describe("Milky Way", () => {
  const level = (raDeg: number, decDeg: number) =>
    milkyWayLevel(catalog.milkyWay, ...direction(raDeg, decDeg));
  /** Mean over a disc. */
  const around = (raDeg: number, decDeg: number, radiusDeg: number) => {
    let sum = 0;
    let count = 0;
    for (let d = -radiusDeg; d <= radiusDeg; d += 0.5) {
      for (let r = -radiusDeg; r <= radiusDeg; r += 0.5) {
        sum += level(raDeg + r / Math.cos(decDeg * DEG), decDeg + d);
        count++;
      }
    }
    return sum / count;
  };

  test("no light at the galactic poles (IAU: RA 192.86, Dec 27.13) and the celestial poles", () => {
    expect(level(192.86, 27.13)).toBe(0);
    expect(level(12.86, -27.13)).toBe(0);
    expect(level(0, 90)).toBe(0);
    expect(level(0, -90)).toBe(0);
  });

  test("bright towards the centre (RA 266.4, Dec -28.9), in Cygnus and Carina; faint opposite", () => {
    const anticentre = around(86.4, 28.9, 4);
    expect(anticentre).toBeGreaterThan(20);
    expect(anticentre).toBeLessThan(70);
    expect(around(266.4, -28.9, 4)).toBeGreaterThan(1.5 * anticentre);
    expect(around(272, -27, 4)).toBeGreaterThan(2.5 * anticentre); // the great star cloud in Sagittarius
    expect(around(300, 36, 3)).toBeGreaterThan(1.5 * anticentre); // the Cygnus star cloud
    expect(level(161, -59.8)).toBeGreaterThan(2 * anticentre); // Eta Carinae
  });

  test("the dark Coalsack (RA 12h50m, Dec -63) stands out from the band beside it: even-odd, not filled", () => {
    expect(level(192.5, -63)).toBeLessThan(0.4 * level(200, -63));
  });

  test("follows the galactic equator: nothing beyond 35 degrees of it", () => {
    const pole = direction(192.85948, 27.12825);
    const { width, height } = catalog.milkyWay;
    let near = 0;
    for (let row = 0; row < height; row++) {
      for (let column = 0; column < width; column++) {
        const v = direction((column * 360) / width, 90 - (row * 180) / (height - 1));
        const latitude = Math.asin(v[0] * pole[0] + v[1] * pole[1] + v[2] * pole[2]) / DEG;
        const value = catalog.milkyWay.level[row * width + column]!;
        if (Math.abs(latitude) > 35) expect(value, `galactic latitude ${latitude}`).toBe(0);
        if (Math.abs(latitude) < 2 && value > 0) near++;
      }
    }
    expect(near).toBeGreaterThan(5000);
  });

  test("between nodes it is their bilinear mean, and nothing jumps at RA 0", () => {
    const { width, level: nodes } = catalog.milkyWay;
    const node = (row: number, column: number) => nodes[row * width + column]!;
    const [row, column] = [Math.round((90 - 38) * 2), 600]; // RA 300, Dec 38
    expect(level(300, 38)).toBe(node(row, column));
    const mean =
      (node(row, column) + node(row, column + 1) + node(row + 1, column) + node(row + 1, column + 1)) / 4;
    expect(Math.abs(level(300.25, 37.75) - mean)).toBeLessThanOrEqual(0.51);
    for (let dec = 50; dec < 72; dec += 0.3) {
      expect(Math.abs(level(359.99, dec) - level(0.01, dec))).toBeLessThanOrEqual(2);
    }
  });
});

function filesOf() {
  const file = (name: string) =>
    new Uint8Array(readFileSync(new URL(`../../catalog/${name}`, import.meta.url)));
  return {
    stars: file("stars.bin"),
    names: file("names.json"),
    figures: file("figures.json"),
    milkyWay: file("milkyway.bin"),
  };
}

describe("damaged files are refused by name", () => {
  const flipped = (bytes: Uint8Array, at: number) => bytes.map((byte, i) => (i === at ? byte ^ 1 : byte));
  const text = (value: unknown) => new TextEncoder().encode(JSON.stringify(value));
  const good = filesOf();
  test.each([
    ["empty", { stars: new Uint8Array(0) }, /catalog\/stars\.bin: expected at least 20 bytes/],
    ["cut short", { stars: good.stars.subarray(0, 9999) }, /catalog\/stars\.bin.*after the header/],
    ["one bit changed", { stars: flipped(good.stars, 300_000) }, /catalog\/stars\.bin: expected checksum/],
    ["another file", { stars: good.milkyWay }, /catalog\/stars\.bin.*begins with VSTR/],
    ["a newer version", { stars: flipped(good.stars, 4) }, /version 1, got version 0/],
    ["a wrong count", { stars: flipped(good.stars, 8) }, /catalog\/stars\.bin: expected 41413 stars/],
    ["Milky Way cut", { milkyWay: good.milkyWay.subarray(0, 1000) }, /catalog\/milkyway\.bin/],
    ["names not JSON", { names: good.names.subarray(0, 1000) }, /catalog\/names\.json: expected JSON/],
    ["names of another format", { names: good.figures }, /catalog\/names\.json: expected format/],
    [
      "a name row bent",
      { names: text({ format: "velarium.names", version: 1, rows: [[1, "a"]] }) },
      /four texts/,
    ],
    [
      "a figure bent",
      {
        figures: text({
          format: "velarium.figures",
          version: 1,
          figures: [{ abbreviation: "X", name: "X", lines: [[1]] }],
        }),
      },
      /catalog\/figures\.json: expected figures as chains/,
    ],
  ])("%s", (_, broken, message) => {
    expect(() => readCatalog({ ...good, ...broken })).toThrow(message);
    try {
      readCatalog({ ...good, ...broken });
      expect.unreachable();
    } catch (error) {
      // the program's own file is broken: nobody's job is to blame
      expect(error).toBeInstanceOf(BrokenInstallation);
      expect((error as BrokenInstallation).next).toMatch(/npm run catalog/);
    }
  });

  test("a deep file that repeats bright stars", () => {
    expect(() => withDeep(catalog, good.stars)).toThrow(/stars-deep\.bin: expected stars fainter than/);
  });
});
