import type { Bundles } from "../../../bundles/types.ts";

/** Who lights a tile, and what of it stays dark. */
export interface TileOwner {
  letters: string[];
  strands: number;
  dark: number;
}

export function tileOwners({ tails, unlit }: Bundles): Map<string, TileOwner> {
  const owners = new Map<string, TileOwner>();
  const of = (tile: string): TileOwner => {
    let owner = owners.get(tile);
    if (!owner) owners.set(tile, (owner = { letters: [], strands: 0, dark: 0 }));
    return owner;
  };
  for (const { tile, engine, lots } of tails) {
    const owner = of(tile);
    owner.letters.push(engine);
    owner.strands += lots.reduce((sum, { count }) => sum + count, 0);
  }
  for (const { tile } of unlit) of(tile).dark++;
  return owners;
}

/** Whole tiles and their engines, to be fixed as they are. */
export function wholeOwners(bundles: Bundles): Map<string, string> {
  const owners = new Map<string, string>();
  for (const [tile, { letters, dark }] of tileOwners(bundles))
    if (letters.length === 1 && dark === 0) owners.set(tile, letters[0]!);
  return owners;
}
