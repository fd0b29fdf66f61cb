import { readFile } from "node:fs/promises";
import { CATALOG_FILE_NAMES, readCatalog } from "../sky/catalog.ts";
import { brokenFile } from "../sky/envelope.ts";
import { PLACES_FILE_NAME, type Places, readPlaces } from "../sky/places.ts";
import type { Catalog } from "../sky/types.ts";

/** Bytes of a file in catalog/; a missing one is a BrokenInstallation that says how to get it back. */
async function catalogFile(name: string): Promise<Uint8Array> {
  try {
    return await readFile(new URL(`../../catalog/${name}`, import.meta.url));
  } catch {
    throw brokenFile(name, "a file", "nothing that can be read");
  }
}

/** The catalogue from disk; `deep` adds the stars fainter than V 8.0. */
export async function loadCatalog({ deep = false }: { deep?: boolean } = {}): Promise<Catalog> {
  const [stars, names, figures, milkyWay, faint] = await Promise.all([
    catalogFile(CATALOG_FILE_NAMES.stars),
    catalogFile(CATALOG_FILE_NAMES.names),
    catalogFile(CATALOG_FILE_NAMES.figures),
    catalogFile(CATALOG_FILE_NAMES.milkyWay),
    deep ? catalogFile(CATALOG_FILE_NAMES.deep) : undefined,
  ]);
  return readCatalog({ stars, names, figures, milkyWay, ...(faint && { deep: faint }) });
}

/** The gazetteer from disk. */
export async function loadPlaces(): Promise<Places> {
  return readPlaces(await catalogFile(PLACES_FILE_NAME));
}
