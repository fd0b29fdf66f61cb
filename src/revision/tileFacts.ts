import type { Bundles } from "../bundles/types.ts";
import { holdsByTile } from "../ceiling/holds.ts";
import { zonesByTile } from "../ceiling/tileZones.ts";
import { strungWords } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import type { Planned } from "../plan.ts";
import { groupBy } from "../groupBy.ts";

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
  channels: string;
}

export function factsByTile({ plan, bundles }: Version): Map<string, TileFacts> {
  const holesOf = holesByTile(plan);
  const strandOf = new Map(bundles?.strands.map((strand) => [strand.hole, strand]));
  const strandsOf = groupBy(bundles?.strands ?? [], ({ hole }) => hole);
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
          lengths: own.map((h) => strandsOf.get(h.id)?.map(({ lengthM }) => lengthM) ?? "").join(";"),
          channels: own.map((h) => strandOf.get(h.id)?.channel ?? "").join(";"),
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

/** What the labels of every tile say: of itself, of its tails, and of its spare, which follows from these. */
export function labelledByTile({ plan, bundles }: Version): Map<string, string> {
  const holesOf = holesByTile(plan);
  const tailsOf = groupBy(bundles?.tails ?? [], ({ tile }) => tile);
  return new Map(
    plan.ceiling.tiles.map(({ name, use }) => [
      name,
      JSON.stringify([
        use,
        holesOf.get(name)?.length,
        tailsOf.get(name)?.map((tail) => [tail.name, tail.lots]),
      ]),
    ]),
  );
}

const placeWords = (h: Hole): string => `${h.numberInTile} ${h.xMm} ${h.yMm} ${h.kind} ${h.name}`;

const holesByTile = ({ pattern }: Planned): Map<string, Hole[]> => groupBy(pattern.holes, ({ tile }) => tile);
