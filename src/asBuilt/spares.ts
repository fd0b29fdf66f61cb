import type { Built } from "./built.ts";

/** Spare strands that are gone from behind the tiles. */
export interface UsedSpares {
  diameterMm: number;
  lengthM: number;
  /** Letter, or "" where no engine lights the hole. */
  engine: string;
  count: number;
  /** Where they went, in the order of the plan. */
  tiles: string[];
}

/** The spares that the record says were used, by engine, thickness and length: as many are to be ordered again. */
export function usedSpares({ plan, bundles, differences }: Built): UsedSpares[] {
  const used = new Map<string, UsedSpares>();
  for (const { tile, number, spare } of differences) {
    if (!spare) continue;
    const hole = plan.pattern.holes.find((one) => one.tile === tile && one.numberInTile === number);
    const strand = bundles.strands.find((one) => one.hole === hole?.id);
    const { engine, lengthM } = strand ?? { engine: "", lengthM: plan.job.scene.lengthM };
    const { diameterMm } = spare;
    const key = `${engine} ${diameterMm} ${lengthM}`;
    const lot = used.get(key) ?? { diameterMm, lengthM, engine, count: 0, tiles: [] };
    used.set(key, lot);
    lot.count += spare.strands;
    if (!lot.tiles.includes(tile)) lot.tiles.push(tile);
  }
  return [...used.values()].sort(
    (a, b) =>
      (a.engine < b.engine ? -1 : Number(a.engine > b.engine)) ||
      a.diameterMm - b.diameterMm ||
      a.lengthM - b.lengthM,
  );
}
