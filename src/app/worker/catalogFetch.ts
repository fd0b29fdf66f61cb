import { CATALOG_FILE_NAMES, readCatalog, withDeep } from "../../sky/catalog.ts";
import type { Catalog } from "../../sky/types.ts";

let compact: Promise<Catalog> | null = null;

/** The catalogue, fetched once when first asked for. A failed fetch is tried again at the next call. */
export function compactCatalog(): Promise<Catalog> {
  compact ??= fetchCatalog().catch((error: unknown) => {
    compact = null;
    throw error;
  });
  return compact;
}

let deep: Promise<Catalog> | null = null;

/** As `compactCatalog`, with the faint stars, for where the bright ones may run out. */
export function deepCatalog(): Promise<Catalog> {
  deep ??= addDeep().catch((error: unknown) => {
    deep = null;
    throw error;
  });
  return deep;
}

async function addDeep(): Promise<Catalog> {
  const [catalog, bytes] = await Promise.all([compactCatalog(), fetchBytes(CATALOG_FILE_NAMES.deep)]);
  return withDeep(catalog, bytes);
}

async function fetchCatalog(): Promise<Catalog> {
  const { stars, names, figures, milkyWay } = CATALOG_FILE_NAMES;
  const files = await Promise.all([stars, names, figures, milkyWay].map(fetchBytes));
  const [starBytes, nameBytes, figureBytes, milkyWayBytes] = files as [
    Uint8Array,
    Uint8Array,
    Uint8Array,
    Uint8Array,
  ];
  return readCatalog({ stars: starBytes, names: nameBytes, figures: figureBytes, milkyWay: milkyWayBytes });
}

/** Bytes of a file under /catalog/. */
export async function fetchBytes(name: string): Promise<Uint8Array> {
  const response = await fetch(`/catalog/${name}`);
  if (!response.ok) throw new Error(`/catalog/${name}: the server answered ${response.status}`);
  return new Uint8Array(await response.arrayBuffer());
}
