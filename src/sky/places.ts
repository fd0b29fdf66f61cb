import { sinCosDeg } from "./exactTrig.ts";
import type { Places } from "./placeFile.ts";

export { PLACES_FILE_NAME, readPlaces, type Places } from "./placeFile.ts";

/** A place as shown to a person who has to tell it from its namesakes. */
export interface PlaceHit {
  name: string;
  /** First administrative division, e.g. "Illinois"; "" where unknown. */
  region: string;
  country: string;
  /** ISO 3166. */
  countryCode: string;
  latDeg: number;
  lonDeg: number;
  /** IANA time zone. */
  zone: string;
  people: number;
}

/** Letters that Unicode does not take apart into a plain letter and a mark. */
const PLAIN: Record<string, string> = {
  ł: "l",
  ø: "o",
  đ: "d",
  ð: "d",
  ß: "ss",
  æ: "ae",
  œ: "oe",
  ı: "i",
  þ: "th",
  ə: "a",
};

/** Lower case, without accents or apostrophes, words parted by single spaces. */
export function foldedWords(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[łøđðßæœıþə]/g, (letter) => PLAIN[letter]!)
    .replace(/['’‘ʻʼ`]/g, "")
    .replace(/[^\p{L}\p{N}]+/gu, " ")
    .trim();
}

const foldedNames = new WeakMap<Places, string[][]>();
function searchable(places: Places): string[][] {
  let folded = foldedNames.get(places);
  if (!folded) {
    folded = places.names.map((names) => names.map(foldedWords));
    foldedNames.set(places, folded);
  }
  return folded;
}

/**
 * Places whose name, or a word of it, begins with the text, whatever its accents and capitals: whole names
 * first, then larger places first. After a comma, words narrow it down: "Springfield, Illinois", "paris, us".
 */
export function searchPlaces(places: Places, text: string, limit: number): PlaceHit[] {
  const [first = "", ...rest] = text.split(",").map(foldedWords);
  const narrower = rest.filter((words) => words !== "");
  if (first === "") return [];
  const inner = ` ${first}`;
  const found: { row: number; rank: number }[] = [];
  searchable(places).forEach((names, row) => {
    let rank = 2;
    for (const name of names) {
      if (name === first) rank = 0;
      else if (rank > 1 && (name.startsWith(first) || name.includes(inner))) rank = 1;
    }
    if (rank < 2 && narrower.every((words) => lies(places, row, words))) found.push({ row, rank });
  });
  found.sort((a, b) => a.rank - b.rank || places.people[b.row]! - places.people[a.row]! || a.row - b.row);
  return found.slice(0, Math.max(0, limit)).map(({ row }) => placeAt(places, row));
}

/** Whether a place's region or country begins with the words, or has them for its code. */
function lies(places: Places, row: number, words: string): boolean {
  const region = places.regions[places.region[row]!]!;
  const country = places.countries[region.country]!;
  return (
    country.code.toLowerCase() === words ||
    [region.name, country.name].some((name) => ` ${foldedWords(name)}`.includes(` ${words}`))
  );
}

/** The place at a row of the gazetteer. */
export function placeAt(places: Places, row: number): PlaceHit {
  const region = places.regions[places.region[row]!]!;
  const country = places.countries[region.country]!;
  return {
    name: places.names[row]![0]!,
    region: region.name,
    country: country.name,
    countryCode: country.code,
    latDeg: places.latDeg[row]!,
    lonDeg: places.lonDeg[row]!,
    zone: places.zones[places.zone[row]!]!,
    people: places.people[row]!,
  };
}

/** The place nearest to a latitude and longitude in degrees, along the sphere; undefined in an empty list. */
export function nearestPlace(places: Places, latDeg: number, lonDeg: number): PlaceHit | undefined {
  const [sinLat, cosLat] = sinCosDeg(latDeg);
  let best = -1;
  let bestChord = Infinity;
  for (let row = 0; row < places.count; row++) {
    // The chord is never shorter than the difference in latitude alone makes it.
    const north = places.latDeg[row]! - latDeg;
    if (north * north * CHORD_PER_DEG_SQUARED > bestChord) continue;
    const [sinHere, cosHere] = sinCosDeg(places.latDeg[row]!);
    const [, cosLon] = sinCosDeg(places.lonDeg[row]! - lonDeg);
    const chord = 2 - 2 * (sinLat * sinHere + cosLat * cosHere * cosLon);
    if (chord < bestChord) {
      bestChord = chord;
      best = row;
    }
  }
  return best < 0 ? undefined : placeAt(places, best);
}

/** Lower bound of chord squared per degree squared: a chord of 180 degrees is 2 radii. */
const CHORD_PER_DEG_SQUARED = (2 / 180) ** 2;
