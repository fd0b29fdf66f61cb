import type { BundlesSection, EngineEntry } from "../job/sections/bundles.ts";

/** Strands of one diameter and length that an engine can be given; Infinity: cut from the reel. */
export interface SupplyItem {
  lengthMm: number;
  count: number;
}

/** What one engine can take and has. */
export interface Supply {
  engine: EngineEntry;
  /** Whether its strands come as a kit; else they are cut from reels. */
  kit: boolean;
  /** By diameter: lengths within reach, shortest first. */
  items: Map<number, SupplyItem[]>;
  /** Sum of d^2 that the port takes, in hundredths of a mm squared. */
  port: number;
}

/** d^2 in hundredths of a mm squared: whole, so that sums are exact. */
export const portUse = (diameterMm: number): number => Math.round(diameterMm * 100) ** 2;

/** Kits joined up by engine; items beyond the engine's reach are left out. Repeated lengths are added up. */
export function supplyOf(
  engine: EngineEntry,
  section: BundlesSection,
  diametersMm: readonly number[],
): Supply {
  const reachMm = Math.round(engine.reachM * 1000);
  const kits = section.kits.filter((kit) => kit.engine === engine.letter).flatMap((kit) => kit.strands);
  const listed =
    kits.length > 0
      ? kits
      : diametersMm.flatMap((diameterMm) =>
          section.cutLengthsM.map((lengthM) => ({ diameterMm, lengthM, count: Infinity })),
        );
  const items = new Map<number, SupplyItem[]>();
  for (const { diameterMm, lengthM, count } of listed) {
    const lengthMm = Math.round(lengthM * 1000);
    const own = items.get(diameterMm) ?? [];
    const same = own.find((item) => item.lengthMm === lengthMm);
    if (same) same.count += count;
    else own.push({ lengthMm, count });
    items.set(diameterMm, own);
  }
  for (const [diameterMm, own] of items)
    items.set(
      diameterMm,
      own.filter(({ lengthMm }) => lengthMm <= reachMm).sort((a, b) => a.lengthMm - b.lengthMm),
    );
  const port = Math.floor(section.portFill * Math.round(engine.portDiameterMm * 100) ** 2);
  return { engine, kit: kits.length > 0, items, port };
}

/** The shortest item that is long enough, as its place in the list; -1 if none is. */
export function classFor(supply: Supply, diameterMm: number, needMm: number): number {
  return supply.items.get(diameterMm)?.findIndex(({ lengthMm }) => lengthMm >= needMm) ?? -1;
}

/** A rule of a supply: at most `limit` strands of these classes of one diameter. */
export interface NestedLimit {
  diameterMm: number;
  /** Holes whose class is this or a later one. */
  fromClass: number;
  limit: number;
}

/**
 * Whoever needs class j can also take any longer item, so holes fit a kit exactly when for every j no more
 * holes need j or longer than there are such items (Hall 1935, for nested choices).
 */
export function nestedLimits(supply: Supply): NestedLimit[] {
  const limits: NestedLimit[] = [];
  for (const [diameterMm, items] of supply.items)
    for (let fromClass = 0; fromClass < items.length; fromClass++) {
      const limit = items.slice(fromClass).reduce((sum, { count }) => sum + count, 0);
      if (limit < Infinity) limits.push({ diameterMm, fromClass, limit });
    }
  return limits;
}
