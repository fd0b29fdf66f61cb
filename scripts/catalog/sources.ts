import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";

const require = createRequire(import.meta.url);

/** One line of a star list as we keep it, whatever source it came from. */
export interface SourceStar {
  hip: number;
  /** 1e-4 degrees, 0 to 3,599,999 and -900,000 to 900,000. */
  raUnits: number;
  decUnits: number;
  magnitudeCenti: number;
  colourMilli: number | undefined;
}

export interface SourceMotion {
  name: string;
  raDeg: number;
  decDeg: number;
  /** Milliarcseconds per Julian year; the RA rate includes cos(dec). */
  raRateMas: number;
  decRateMas: number;
  magnitude: number;
}

export interface AddedStar extends SourceStar {
  raRateMas: number;
  decRateMas: number;
  bayer: string;
  constellation: string;
}

export interface SourceName {
  name?: string;
  bayer?: string;
  flam?: string;
  c?: string;
}

export interface Feature<G> {
  id: string | number;
  properties: Record<string, string>;
  geometry: { type: string; coordinates: G };
}
export type Point = [number, number];

/** Path of a file inside an installed package that has no export map. */
export const packageFile = (path: string) => require.resolve(path);

/** A GeoJSON list of d3-celestial, e.g. "milkyway". Longitudes run -180..180 for RA 0..360. */
export function celestialFeatures<G>(name: string): Feature<G>[] {
  const text = readFileSync(packageFile(`d3-celestial/data/${name}.json`), "utf8");
  return (JSON.parse(text) as { features: Feature<G>[] }).features;
}

export function celestialStarNames(): Record<string, SourceName> {
  return JSON.parse(readFileSync(packageFile("d3-celestial/data/starnames.json"), "utf8")) as Record<
    string,
    SourceName
  >;
}

const toUnits = (deg: number) => Math.round(deg * 10000);
const wrapUnits = (units: number) => ((units % 3_600_000) + 3_600_000) % 3_600_000;

export function celestialStars(name: "stars.8" | "stars.14"): SourceStar[] {
  return celestialFeatures<Point>(name).map(({ id, properties, geometry }) => ({
    hip: Number(id),
    raUnits: wrapUnits(toUnits(geometry.coordinates[0])),
    decUnits: toUnits(geometry.coordinates[1]),
    magnitudeCenti: Math.round(Number(properties.mag) * 100),
    colourMilli: properties.bv === "" ? undefined : Math.round(Number(properties.bv) * 1000),
  }));
}

/** Rows of one of our own tables in sources/: tab-separated, `#` comments, first line the column names. */
function table(name: string): Record<string, string>[] {
  const path = fileURLToPath(new URL(`./sources/${name}`, import.meta.url));
  const [head, ...lines] = readFileSync(path, "utf8")
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("#"));
  const columns = head!.split("\t");
  return lines.map((line) => Object.fromEntries(line.split("\t").map((cell, i) => [columns[i]!, cell])));
}

export function motions(): SourceMotion[] {
  return [...table("motion.tsv"), ...table("simbad-motion.tsv")].map((row) => ({
    name: row.name!,
    raDeg: Number(row.raDeg),
    decDeg: Number(row.decDeg),
    raRateMas: Number(row.raRateMas),
    decRateMas: Number(row.decRateMas),
    magnitude: Number(row.magnitude),
  }));
}

export function addedStars(): AddedStar[] {
  return table("added-stars.tsv").map((row) => ({
    hip: Number(row.number),
    raUnits: wrapUnits(toUnits(Number(row.raDeg))),
    decUnits: toUnits(Number(row.decDeg)),
    magnitudeCenti: Math.round(Number(row.magnitude) * 100),
    colourMilli: Math.round(Number(row.colour) * 1000),
    raRateMas: Number(row.raRateMas),
    decRateMas: Number(row.decRateMas),
    bayer: row.bayer!,
    constellation: row.constellation!,
  }));
}
