import { type LengthUnits, moveWords } from "../../../job/units.ts";
import { countStrands } from "../../../pattern/packing.ts";
import type { Pattern } from "../../../pattern/types.ts";

/** One number of the live count: what it counts, and small behind it of how many or in what. */
interface Count {
  what: string;
  count: number | string;
  of?: string;
  /** By which it is found on the page. */
  key?: string;
}

/** What a pattern gives, number by number. */
export function countsOf({ holes, wanted, fidelity: f }: Pattern, units: LengthUnits): Count[] {
  const { edgeExcess, nearestNeighbour, band } = f.likeness;
  return [
    { what: "strands used", count: countStrands(holes), of: `of ${wanted}`, key: "used" },
    { what: "holes", count: holes.length, key: "holes" },
    { what: "stars", count: f.stars, key: "stars" },
    { what: "fainter than the limit", count: f.deeper, key: "deeper" },
    { what: "filler", count: f.filler, key: "filler" },
    { what: "moved", count: f.moved, key: "moved" },
    { what: "left out", count: f.lost, key: "lost" },
    { what: "merged", count: f.merged, key: "merged" },
    { what: "light kept", count: (f.lightKept * 100).toFixed(1), of: "%", key: "light" },
    { what: "constellations whole", count: f.figures.whole, of: `of ${f.figures.onCeiling}`, key: "figures" },
    ...f.mattering.map(({ abbreviation, onCeiling, kept, maxMm }) => ({
      what: `${abbreviation} whole`,
      count: kept,
      of: `of ${onCeiling}, moved at most ${moveWords(maxMm, units)}`,
    })),
    ...(f.gaveAir > 0 ? [{ what: "gave it air", count: f.gaveAir }] : []),
    { what: "at tile edges", count: edgeExcess.toFixed(1), of: "× chance", key: "edges" },
    { what: "nearest neighbour", count: nearestNeighbour.toFixed(2), of: "× chance", key: "spread" },
    ...(band === null
      ? []
      : [{ what: "like the Milky Way", count: (band * 100).toFixed(0), of: "%", key: "band" }]),
    { what: "limit", count: f.faintestMagnitude?.toFixed(1) ?? "–", of: "mag" },
  ];
}
