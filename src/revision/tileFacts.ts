import type { Bundles } from "../bundles/types.ts";
import { holdsByTile } from "../ceiling/holds.ts";
import { zonesByTile } from "../ceiling/tileZones.ts";
import { strungWords } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import type { Planned } from "../plan.ts";

/** A plan at one revision, with its bundles if there are any. */
export interface Version {
  plan: Planned;
  bundles: Bundles | null;
}

/** What is made of a tile, as words: the same words, and it is made in the same way. */
export interface TileFacts {
  tile: string;
  /** Things in its way, and whoever holds it up. */
  around: string;
  holes: string;
  strands: string;
  engine: string;
  /** What the bench cuts and plugs, and no template shows. */
  lengths: string;
}

export function factsByTile({ plan, bundles }: Version): Map<string, TileFacts> {
  const holesOf = holesByTile(plan);
  const strandOf = new Map(bundles?.strands.map((strand) => [strand.hole, strand]));
  const holds = holdsByTile(plan.ceiling);
  const zonesOn = zonesByTile(plan.ceiling);
  return new Map(
    plan.ceiling.tiles.map((tile) => {
      const { name, use, outline } = tile;
      const own = holesOf.get(name) ?? [];
      return [
        name,
        {
          tile: JSON.stringify([use, outline]),
          around: JSON.stringify([zonesOn(tile), holds.get(name)]),
          holes: own.map(placeWords).join(";"),
          strands: own.map(strungWords).join(";"),
          engine: own.map((h) => strandOf.get(h.id)?.engine ?? "").join(";"),
          lengths: own
            .map((h) => `${strandOf.get(h.id)?.lengthM ?? ""} ${strandOf.get(h.id)?.channel ?? ""}`)
            .join(";"),
        },
      ];
    }),
  );
}

/** The holes of every tile that has some, as they are punched: place, number and strands. */
export function punchedByTile(plan: Planned): Map<string, string> {
  const tiles = [...holesByTile(plan)];
  return new Map(
    tiles.map(([name, own]) => [name, own.map((h) => `${placeWords(h)} ${strungWords(h)}`).join(";")]),
  );
}

const placeWords = (h: Hole): string => `${h.numberInTile} ${h.xMm} ${h.yMm} ${h.kind} ${h.name}`;

function holesByTile({ pattern }: Planned): Map<string, Hole[]> {
  const byTile = new Map<string, Hole[]>();
  for (const hole of pattern.holes) {
    const own = byTile.get(hole.tile);
    if (own) own.push(hole);
    else byTile.set(hole.tile, [hole]);
  }
  return byTile;
}
