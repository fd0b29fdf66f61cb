import type { Hole } from "../../pattern/types.ts";
import type { Made } from "../../work/stage.ts";

/** What was made as holes, on its way between a worker and the page: the holes themselves as a few columns. */
export interface CrossingHoles {
  others: Made["holes"];
  packed: PackedHoles;
}

/** 100,000 objects of twenty properties take a browser 0.3 s to copy, their columns and the objects made of them 0.05 s. */
interface PackedHoles {
  /** By name of the property; what is null is no number. */
  numbers: Record<Numbers, Float64Array>;
  /** Each word once, and for each hole the places of its words. */
  words: string[];
  places: Record<Words, Uint32Array>;
  /** Bits: byHand, deeper, inFigure. */
  flags: Uint8Array;
  /** Of the few holes that have some, by place. */
  merged: Map<number, Hole["merged"]>;
}

const NUMBERS = ["id", "numberInTile", "star", "magnitude", "colourBv", "trueXMm", "trueYMm", "xMm", "yMm", "tileXMm", "tileYMm", "diameterMm", "strands", "movedMm"] as const; // prettier-ignore
const WORDS = ["tile", "kind", "name"] as const;
type Numbers = (typeof NUMBERS)[number];
type Words = (typeof WORDS)[number];

const columns = <K extends string, C>(names: readonly K[], make: () => C) =>
  Object.fromEntries(names.map((name) => [name, make()])) as Record<K, C>;

export function crossing(holes: Made["holes"]): CrossingHoles {
  return {
    others: { ...holes, pattern: { ...holes.pattern, holes: [] } },
    packed: packHoles(holes.pattern.holes),
  };
}

export function arrived({ others, packed }: CrossingHoles): Made["holes"] {
  return { ...others, pattern: { ...others.pattern, holes: unpackHoles(packed) } };
}

function packHoles(holes: readonly Hole[]): PackedHoles {
  const known = new Map<string, number>();
  const placeOf = (word: string): number => {
    const place = known.get(word) ?? known.size;
    if (place === known.size) known.set(word, place);
    return place;
  };
  const n = columns(NUMBERS, () => new Float64Array(holes.length));
  const places = columns(WORDS, () => new Uint32Array(holes.length));
  const flags = new Uint8Array(holes.length);
  const merged: PackedHoles["merged"] = new Map();
  holes.forEach((hole, i) => {
    n.id[i] = hole.id;
    n.numberInTile[i] = hole.numberInTile;
    n.star[i] = hole.star ?? NaN;
    n.magnitude[i] = hole.magnitude ?? NaN;
    n.colourBv[i] = hole.colourBv ?? NaN;
    n.trueXMm[i] = hole.trueXMm ?? NaN;
    n.trueYMm[i] = hole.trueYMm ?? NaN;
    n.xMm[i] = hole.xMm;
    n.yMm[i] = hole.yMm;
    n.tileXMm[i] = hole.tileXMm;
    n.tileYMm[i] = hole.tileYMm;
    n.diameterMm[i] = hole.diameterMm;
    n.strands[i] = hole.strands;
    n.movedMm[i] = hole.movedMm;
    places.tile[i] = placeOf(hole.tile);
    places.kind[i] = placeOf(hole.kind);
    places.name[i] = placeOf(hole.name);
    flags[i] = Number(hole.byHand) | (Number(hole.deeper) << 1) | (Number(hole.inFigure) << 2);
    if (hole.merged.length > 0) merged.set(i, hole.merged);
  });
  return { numbers: n, words: [...known.keys()], places, flags, merged };
}

function unpackHoles({ numbers: n, words, places, flags, merged }: PackedHoles): Hole[] {
  const orNull = (value: number): number | null => (Number.isNaN(value) ? null : value);
  const holes = new Array<Hole>(flags.length);
  for (let i = 0; i < flags.length; i++)
    holes[i] = {
      id: n.id[i]!,
      tile: words[places.tile[i]!]!,
      numberInTile: n.numberInTile[i]!,
      kind: words[places.kind[i]!] as Hole["kind"],
      star: orNull(n.star[i]!),
      name: words[places.name[i]!]!,
      magnitude: orNull(n.magnitude[i]!),
      colourBv: orNull(n.colourBv[i]!),
      trueXMm: orNull(n.trueXMm[i]!),
      trueYMm: orNull(n.trueYMm[i]!),
      xMm: n.xMm[i]!,
      yMm: n.yMm[i]!,
      tileXMm: n.tileXMm[i]!,
      tileYMm: n.tileYMm[i]!,
      diameterMm: n.diameterMm[i]!,
      strands: n.strands[i]!,
      movedMm: n.movedMm[i]!,
      merged: merged.get(i) ?? [],
      byHand: (flags[i]! & 1) !== 0,
      deeper: (flags[i]! & 2) !== 0,
      inFigure: (flags[i]! & 4) !== 0,
    };
  return holes;
}
