import type { Figure } from "../../src/sky/types.ts";
import type { Feature, Point, SourceStar } from "./sources.ts";
import { direction, nearest } from "./sphere.ts";

/** Figure lines and stars come from one list: a vertex is its star's place, but for rounding. */
export const VERTEX_ARCSEC = 1;
const FAINTEST_CENTI = 700;

/** Where the source's Latin is not the spelling of the International Astronomical Union (its list of the 88 constellations). */
const IAU_SPELLING: Record<string, string> = {
  Bootes: "Boötes",
  "Canis Maior": "Canis Major",
  "Ursa Maior": "Ursa Major",
};

/** Turns every vertex into a star number; a vertex with no star stops the build. */
export function figures(
  lines: Feature<Point[][]>[],
  names: Feature<Point>[],
  stars: SourceStar[],
): Figure[] {
  const bright = stars
    .filter((star) => star.magnitudeCenti <= FAINTEST_CENTI)
    .map((star) => ({ hip: star.hip, at: direction(star.raUnits / 10000, star.decUnits / 10000) }));
  const title = new Map(names.map((f) => [String(f.id), f.properties]));
  const byName = new Map<string, Figure>();
  for (const { id, geometry } of lines) {
    const abbreviation = String(id);
    const chains = geometry.coordinates.map((line) =>
      line.map(([lon, lat]) => {
        const { item, arcsec } = nearest(bright, direction(lon, lat));
        if (arcsec > VERTEX_ARCSEC) throw new Error(`${abbreviation}: no star within ${VERTEX_ARCSEC}" of ${lon}, ${lat}`);
        return item.hip;
      }),
    );
    // Serpens comes in two parts, head and tail: one constellation, one figure.
    const known = byName.get(abbreviation);
    if (known) known.lines.push(...chains);
    else {
      const { la, gen } = title.get(abbreviation)!;
      const name = (la ?? "").replace(/\s+/gu, " ").replace(/ (Caput|Cauda)$/, "");
      byName.set(abbreviation, {
        abbreviation,
        name: IAU_SPELLING[name] ?? name,
        genitive: (gen ?? "").replace(/\s+/gu, " "),
        lines: chains,
      });
    }
  }
  return [...byName.values()].sort((a, b) => (a.abbreviation < b.abbreviation ? -1 : 1));
}

/** One figure to a line. */
export function figuresJson(list: Figure[]): string {
  const head = `{"format":"velarium.figures","version":1,"figures":[`;
  return `${head}\n${list.map((figure) => JSON.stringify(figure)).join(",\n")}\n]}\n`;
}
