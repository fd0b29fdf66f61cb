import { readMilkyWay } from "./milkyWay.ts";
import { brokenFile } from "./envelope.ts";
import { appendFainter, readStars } from "./starFile.ts";
import type { Catalog, Figure, StarName, StarTable } from "./types.ts";

export { milkyWayLevel } from "./milkyWay.ts";
export { findStar, starLabel } from "./starNames.ts";

/** The bytes of the catalogue's files, however a shell came by them. */
export interface CatalogFiles {
  /** catalog/stars.bin */
  stars: Uint8Array;
  /** catalog/stars-deep.bin, when the fainter stars are wanted too. */
  deep?: Uint8Array;
  /** catalog/names.json */
  names: Uint8Array;
  /** catalog/figures.json */
  figures: Uint8Array;
  /** catalog/milkyway.bin */
  milkyWay: Uint8Array;
}

/** File names inside catalog/, for shells and messages. */
export const CATALOG_FILE_NAMES = {
  stars: "stars.bin",
  deep: "stars-deep.bin",
  names: "names.json",
  figures: "figures.json",
  milkyWay: "milkyway.bin",
} as const;

/** Reads a whole catalogue. A damaged or foreign file is a BrokenInstallation that names it. */
export function readCatalog(files: CatalogFiles): Catalog {
  const compact = readStars(files.stars, CATALOG_FILE_NAMES.stars);
  const figures = readFigures(files.figures);
  const catalog: Catalog = {
    stars: compact,
    names: readNames(files.names),
    figures,
    figureStars: new Set(figures.flatMap((figure) => figure.lines.flat())),
    milkyWay: readMilkyWay(files.milkyWay, CATALOG_FILE_NAMES.milkyWay),
    faintest: faintestOf(compact),
  };
  return files.deep ? withDeep(catalog, files.deep) : catalog;
}

/** The same catalogue with the fainter stars of catalog/stars-deep.bin after the bright ones. */
export function withDeep(catalog: Catalog, deep: Uint8Array): Catalog {
  const faint = readStars(deep, CATALOG_FILE_NAMES.deep);
  const stars = appendFainter(catalog.stars, faint, CATALOG_FILE_NAMES.deep);
  return { ...catalog, stars, faintest: faintestOf(stars) };
}

const faintestOf = (stars: StarTable) => (stars.magnitudeCenti[stars.count - 1] ?? 0) / 100;

/** Row of a star number in the table, or -1. */
export function rowOfStar(stars: StarTable, hip: number): number {
  return stars.hip.indexOf(hip);
}

function readJson(bytes: Uint8Array, file: string, format: string): Record<string, unknown> {
  let value: unknown;
  try {
    value = JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch {
    throw brokenFile(file, "JSON in UTF-8", `${bytes.length} bytes that are not`);
  }
  const record = value as Record<string, unknown> | null;
  if (record?.format !== format || record.version !== 1) {
    throw brokenFile(
      file,
      `format ${format}, version 1`,
      `${String(record?.format)}, ${String(record?.version)}`,
    );
  }
  return record;
}

const isStarNumber = (v: unknown): v is number => typeof v === "number" && Number.isInteger(v) && v > 0;

function readNames(bytes: Uint8Array): Map<number, StarName> {
  const file = CATALOG_FILE_NAMES.names;
  const { rows } = readJson(bytes, file, "velarium.names");
  const names = new Map<number, StarName>();
  const wrong = (got: unknown) =>
    brokenFile(file, "rows of a star number and four texts", String(JSON.stringify(got)));
  if (!Array.isArray(rows)) throw wrong(rows);
  for (const row of rows as unknown[]) {
    const cells = Array.isArray(row) ? (row as unknown[]) : [];
    const [star, ...texts] = cells;
    if (!isStarNumber(star) || texts.length !== 4 || texts.some((t) => typeof t !== "string"))
      throw wrong(row);
    const [proper, bayer, flamsteed, constellation] = texts as [string, string, string, string];
    names.set(star, { proper, bayer, flamsteed, constellation });
  }
  return names;
}

function readFigures(bytes: Uint8Array): Figure[] {
  const file = CATALOG_FILE_NAMES.figures;
  const { figures } = readJson(bytes, file, "velarium.figures");
  const sound = (figure: Partial<Figure> | null) =>
    typeof figure?.abbreviation === "string" &&
    typeof figure.name === "string" &&
    Array.isArray(figure.lines) &&
    figure.lines.every((line) => Array.isArray(line) && line.length >= 2 && line.every(isStarNumber));
  const wrong = Array.isArray(figures) ? figures.find((f) => !sound(f as Figure)) : figures;
  if (wrong !== undefined || !Array.isArray(figures)) {
    throw brokenFile(file, "figures as chains of star numbers", String(JSON.stringify(wrong)).slice(0, 80));
  }
  return figures as Figure[];
}
