import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, test } from "vitest";
import { zoneTabPlace } from "../../scripts/catalog/places.ts";
import { loadPlaces } from "../../src/cli/catalogFiles.ts";
import { type Places, nearestPlace, placeAt, readPlaces, searchPlaces } from "../../src/sky/places.ts";

let places: Places;
beforeAll(async () => {
  places = await loadPlaces();
});

const first = (text: string) => searchPlaces(places, text, 1)[0];

/** Rows of the zone database's own table of principal places (IANA tzdata 2025b, zone.tab). */
const zoneTab = readFileSync(new URL("../../scripts/catalog/sources/zone.tab", import.meta.url), "utf8")
  .split("\n")
  .filter((line) => line !== "" && !line.startsWith("#"))
  .map((line) => line.split("\t") as [string, string, string]);

describe("gazetteer", () => {
  test("has at least 30,000 places of sound numbers, none without a zone", () => {
    expect(places.count).toBeGreaterThanOrEqual(30_000);
    for (let row = 0; row < places.count; row++) {
      const { name, latDeg, lonDeg, zone } = placeAt(places, row);
      if (name === "" || zone === "" || Math.abs(latDeg) > 90 || Math.abs(lonDeg) > 180) expect.fail(`row ${row}`);
    }
  });

  test("every zone is known to this engine", () => {
    for (const zone of places.zones) {
      expect(() => new Intl.DateTimeFormat("en", { timeZone: zone }), zone).not.toThrow();
    }
  });

  test("every place keeps a zone of its own country (IANA zone.tab), border towns too", () => {
    const zonesOf = new Map<string, Set<string>>();
    for (const [country, , zone] of zoneTab) zonesOf.set(country, (zonesOf.get(country) ?? new Set()).add(zone));
    for (let row = 0; row < places.count; row++) {
      const { countryCode, name, zone } = placeAt(places, row);
      const own = zonesOf.get(countryCode);
      if (own && !own.has(zone)) expect.fail(`${name}, ${countryCode}: ${zone}`);
    }
  });

  test("principal places of zone.tab with a town of ours near lie in their zone", () => {
    let within = 0;
    let agree = 0;
    for (const [, where, zone] of zoneTab) {
      const [lonDeg, latDeg] = zoneTabPlace(where);
      const near = nearestPlace(places, latDeg, lonDeg)!;
      if (Math.hypot(near.latDeg - latDeg, (near.lonDeg - lonDeg) * Math.cos((latDeg * Math.PI) / 180)) > 0.15) continue;
      within++;
      if (near.zone === zone) agree++;
    }
    expect(within).toBeGreaterThan(330);
    expect(agree / within).toBeGreaterThan(0.98);
  });

  // Zones as public tables of the cities give them (IANA names): half-hour and quarter-hour offsets, places
  // without summer time inside countries that have it, changes since 2022, both sides of the date line.
  test.each([
    ["London, GB", "Europe/London", 51.51, -0.13],
    ["London, Canada", "America/Toronto", 42.98, -81.25],
    ["Kathmandu", "Asia/Kathmandu", 27.72, 85.32],
    ["Adelaide", "Australia/Adelaide", -34.93, 138.6],
    ["Broken Hill", "Australia/Broken_Hill", -31.97, 141.45],
    ["Phoenix", "America/Phoenix", 33.45, -112.07],
    ["Indianapolis", "America/Indiana/Indianapolis", 39.77, -86.16],
    ["Regina, CA", "America/Regina", 50.45, -104.62],
    ["Honolulu", "Pacific/Honolulu", 21.31, -157.86],
    ["Ciudad Juárez", "America/Ciudad_Juarez", 31.72, -106.46],
    ["Coyhaique", "America/Coyhaique", -45.57, -72.07],
    ["Punta Arenas", "America/Punta_Arenas", -53.15, -70.92],
    ["Kyiv", "Europe/Kyiv", 50.45, 30.52],
    ["Nuuk", "America/Nuuk", 64.18, -51.72],
    ["Hobart, AU", "Australia/Hobart", -42.88, 147.33],
    ["Brisbane", "Australia/Brisbane", -27.47, 153.02],
    ["St. John's, Canada", "America/St_Johns", 47.56, -52.71],
    ["Auckland", "Pacific/Auckland", -36.85, 174.76],
    ["Apia", "Pacific/Apia", -13.83, -171.76],
    ["Nicosia", "Asia/Nicosia", 35.17, 33.37],
    ["Las Palmas, Spain", "Atlantic/Canary", 28.1, -15.41],
    ["Ürümqi", "Asia/Urumqi", 43.8, 87.6],
    ["Longyearbyen", "Arctic/Longyearbyen", 78.22, 15.65],
    ["Ushuaia", "America/Argentina/Ushuaia", -54.8, -68.3],
  ])("%s is in %s", (text, zone, latDeg, lonDeg) => {
    const place = first(text)!;
    expect(place.zone).toBe(zone);
    expect(Math.abs(place.latDeg - latDeg)).toBeLessThan(0.1);
    expect(Math.abs(place.lonDeg - lonDeg)).toBeLessThan(0.15);
  });

  test.each([
    ["zurich", "Zürich", "CH"],
    ["ZÜRICH", "Zürich", "CH"],
    ["lodz", "Łódź", "PL"],
    ["wien", "Vienna", "AT"],
    ["kiev", "Kyiv", "UA"],
    ["sao paulo", "São Paulo", "BR"],
    ["san franc", "San Francisco", "US"],
    ["paris", "Paris", "FR"],
    ["paris, texas", "Paris", "US"],
  ])("%s finds %s, %s first", (text, name, countryCode) =>
    expect(first(text)).toMatchObject({ name, countryCode }),
  );

  test("namesakes come larger first, told apart by region", () => {
    const hits = searchPlaces(places, "Springfield", 5);
    expect(hits.map((h) => h.region).slice(0, 3)).toEqual(["Missouri", "Massachusetts", "Illinois"]);
    for (let i = 1; i < hits.length; i++) expect(hits[i]!.people).toBeLessThanOrEqual(hits[i - 1]!.people);
    expect(searchPlaces(places, "Springfield, ill", 5).map((h) => h.region)).toEqual(["Illinois"]);
  });

  test.each(["", " , ", "qqqxyz", "paris, atlantis"])("%j finds nothing", (text) =>
    expect(searchPlaces(places, text, 5)).toEqual([]),
  );
  test("a limit of nothing gives nothing", () => expect(searchPlaces(places, "a", 0)).toEqual([]));

  test("the nearest place, by brute force over the haversine, on land, at sea, at the poles, over the date line", () => {
    const rad = Math.PI / 180;
    const haversine = (lat1: number, lon1: number, lat2: number, lon2: number) =>
      Math.sin(((lat2 - lat1) * rad) / 2) ** 2 +
      Math.cos(lat1 * rad) * Math.cos(lat2 * rad) * Math.sin(((lon2 - lon1) * rad) / 2) ** 2;
    for (const [lat, lon] of [[48.2, 16.37], [0, -30], [90, 0], [-90, 0], [-17, 179.99], [-17, -179.99], [64, -21]] as const) {
      let best = Infinity;
      for (let row = 0; row < places.count; row++) {
        best = Math.min(best, haversine(lat, lon, places.latDeg[row]!, places.lonDeg[row]!));
      }
      const near = nearestPlace(places, lat, lon)!;
      expect(haversine(lat, lon, near.latDeg, near.lonDeg)).toBeCloseTo(best, 12);
    }
  });

  test("a damaged file is refused by name", () => {
    const bytes = new Uint8Array(readFileSync(new URL("../../catalog/places.bin", import.meta.url)));
    expect(() => readPlaces(bytes.subarray(0, 5000))).toThrow(/catalog\/places\.bin/);
    bytes[70_000]! ^= 4;
    expect(() => readPlaces(bytes)).toThrow(/catalog\/places\.bin: expected checksum/);
  });
});
