import { mkdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { CATALOG_FILE_NAMES } from "../../src/sky/catalog.ts";
import { PLACES_FILE_NAME } from "../../src/sky/places.ts";
import { figures, figuresJson } from "./figures.ts";
import { packMilkyWay, rasterMilkyWay } from "./milkyWay.ts";
import { nameRows, namesJson } from "./names.ts";
import { gatherPlaces, packPlaces } from "./places.ts";
import { attributionText, provenanceJson, readmeText } from "./provenance.ts";
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
  const written = new Map<string, Uint8Array>();
  const counts: Record<string, Record<string, number>> = {};
  const write = (name: string, content: Uint8Array | string, count: Record<string, number>) => {
    written.set(name, typeof content === "string" ? new TextEncoder().encode(content) : content);
    counts[name] = count;
  };

  const added = addedStars();
  const all = [...celestialStars("stars.14"), ...added];
  const moving = matchMotions(motions(), added, all);
  const compactNumbers = new Set([...celestialStars("stars.8"), ...added].map((star) => star.hip));
  for (const [name, compact] of [
    [CATALOG_FILE_NAMES.stars, true],
    [CATALOG_FILE_NAMES.deep, false],
  ] as const) {
    const stars = all.filter((star) => compactNumbers.has(star.hip) === compact);
    const numbers = new Set(stars.map((star) => star.hip));
    const here = moving.filter((m) => numbers.has(m.hip));
    write(name, packStars(stars, here), { stars: stars.length, "with proper motion": here.length });
  }

  const names = nameRows(celestialStarNames(), added);
  write(CATALOG_FILE_NAMES.names, namesJson(names), { stars: names.length });

  const lines = celestialFeatures<Point[][]>("constellations.lines");
  const drawn = figures(lines, celestialFeatures<Point>("constellations"), all);
  const corners = new Set(drawn.flatMap((figure) => figure.lines.flat()));
  write(CATALOG_FILE_NAMES.figures, figuresJson(drawn), { figures: drawn.length, stars: corners.size });

  const map = rasterMilkyWay(celestialFeatures<Point[][]>("milkyway"));
  write(CATALOG_FILE_NAMES.milkyWay, packMilkyWay(map), { nodes: map.level.length });

  const { places, corrected } = gatherPlaces();
  write(PLACES_FILE_NAME, packPlaces(places), { places: places.length, "zones corrected": corrected });

  mkdirSync(outDir, { recursive: true });
  for (const [name, bytes] of written) writeFileSync(join(outDir, name), bytes);
  writeFileSync(join(outDir, "provenance.json"), provenanceJson(written, counts));
  writeFileSync(join(outDir, "ATTRIBUTION.md"), attributionText());
  writeFileSync(join(outDir, "README.md"), readmeText(written, counts));
}

const isMain = process.argv[1] !== undefined && resolve(process.argv[1]) === fileURLToPath(import.meta.url);
if (isMain) {
  const outDir = process.argv[2] ?? fileURLToPath(new URL("../../catalog", import.meta.url));
  buildCatalog(outDir);
  console.log(`catalogue written to ${outDir}`);
}
