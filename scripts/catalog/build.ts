import { mkdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { CATALOG_FILE_NAMES } from "../../src/sky/catalog.ts";
import { PLACES_FILE_NAME } from "../../src/sky/places.ts";
import { figures, figuresJson } from "./figures.ts";
import { packMilkyWay, rasterMilkyWay } from "./milkyWay.ts";
import { nameRows, namesJson } from "./names.ts";
import { gatherPlaces, packPlaces } from "./places.ts";
import {
  addedStars,
  celestialFeatures,
  celestialStarNames,
  celestialStars,
  motions,
  type Point,
} from "./sources.ts";
import { matchMotions, packStars } from "./stars.ts";

/** Builds every file of catalog/ into `outDir`: the same bytes every time. */
export function buildCatalog(outDir: string): void {
  mkdirSync(outDir, { recursive: true });
  const write = (name: string, content: Uint8Array | string) => writeFileSync(join(outDir, name), content);

  const added = addedStars();
  const all = [...celestialStars("stars.14"), ...added];
  const compactNumbers = new Set([...celestialStars("stars.8"), ...added].map((star) => star.hip));
  const moving = matchMotions(motions(), added, all);
  write(CATALOG_FILE_NAMES.stars, packStars(all.filter((star) => compactNumbers.has(star.hip)), moving));
  write(CATALOG_FILE_NAMES.deep, packStars(all.filter((star) => !compactNumbers.has(star.hip)), moving));

  write(CATALOG_FILE_NAMES.names, namesJson(nameRows(celestialStarNames(), added)));

  const lines = celestialFeatures<Point[][]>("constellations.lines");
  const drawn = figures(lines, celestialFeatures<Point>("constellations"), all);
  write(CATALOG_FILE_NAMES.figures, figuresJson(drawn.figures));

  write(CATALOG_FILE_NAMES.milkyWay, packMilkyWay(rasterMilkyWay(celestialFeatures<Point[][]>("milkyway"))));

  const { places } = gatherPlaces();
  write(PLACES_FILE_NAME, packPlaces(places));
}

const isMain = process.argv[1] !== undefined && resolve(process.argv[1]) === fileURLToPath(import.meta.url);
if (isMain) {
  const outDir = process.argv[2] ?? fileURLToPath(new URL("../../catalog", import.meta.url));
  buildCatalog(outDir);
  console.log(`catalogue written to ${outDir}`);
}
