import { brokenFile, unpack } from "./envelope.ts";

/**
 * A place file: u32 length of the tables, u32 length of the names, the tables as JSON (countries as
 * [ISO code, name], regions as [country, name], zones), the names (one line each, other names after a bar),
 * then byte planes: latitude and longitude in 1e-3 degrees above -90 and -180, people in hundreds, region,
 * zone.
 */
export const PLACES_FILE_NAME = "places.bin";
export const PLACE_MAGIC = "VPLC";
export const PLACE_PLANES = { lat: 3, lon: 3, people: 3, region: 2, zone: 2 } as const;
export const POPULATION_UNIT = 100;

/** The gazetteer as columns. */
export interface Places {
  count: number;
  /** The name, then any other names. */
  names: string[][];
  latDeg: Float64Array;
  lonDeg: Float64Array;
  /** Rounded to hundreds. */
  people: Uint32Array;
  region: Uint16Array;
  zone: Uint16Array;
  countries: { code: string; name: string }[];
  regions: { country: number; name: string }[];
  zones: string[];
}

/** Reads catalog/places.bin; a damaged or foreign file is a BrokenInstallation. */
export function readPlaces(bytes: Uint8Array): Places {
  const file = PLACES_FILE_NAME;
  const { count, payload } = unpack(bytes, PLACE_MAGIC, file);
  const view = new DataView(payload.buffer, payload.byteOffset, payload.byteLength);
  const headLength = payload.length >= 8 ? view.getUint32(0, true) : 0;
  const namesLength = payload.length >= 8 ? view.getUint32(4, true) : 0;
  const width = Object.values(PLACE_PLANES).reduce((sum, w) => sum + w, 0);
  if (payload.length !== 8 + headLength + namesLength + count * width) {
    throw brokenFile(file, `${count} places`, `${payload.length} bytes`);
  }
  const decoder = new TextDecoder();
  const tables = JSON.parse(decoder.decode(payload.subarray(8, 8 + headLength))) as {
    countries: [string, string][];
    regions: [number, string][];
    zones: string[];
  };
  let offset = 8 + headLength + namesLength;
  const names = decoder.decode(payload.subarray(8 + headLength, offset)).split("\n");
  if (names.length !== count) {
    throw brokenFile(file, `${count} names`, `${names.length} names`);
  }
  const plane = (bytesWide: number) => {
    const column = new Int32Array(count);
    for (let b = 0; b < bytesWide; b++, offset += count) {
      for (let i = 0; i < count; i++) column[i]! |= payload[offset + i]! << (8 * b);
    }
    return column;
  };
  return {
    count,
    names: names.map((line) => line.split("|")),
    latDeg: Float64Array.from(plane(PLACE_PLANES.lat), (v) => (v - 90_000) / 1000),
    lonDeg: Float64Array.from(plane(PLACE_PLANES.lon), (v) => (v - 180_000) / 1000),
    people: Uint32Array.from(plane(PLACE_PLANES.people), (v) => v * POPULATION_UNIT),
    region: Uint16Array.from(plane(PLACE_PLANES.region)),
    zone: Uint16Array.from(plane(PLACE_PLANES.zone)),
    countries: tables.countries.map(([code, name]) => ({ code, name })),
    regions: tables.regions.map(([country, name]) => ({ country, name })),
    zones: tables.zones,
  };
}
