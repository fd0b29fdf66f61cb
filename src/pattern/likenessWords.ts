import type { Fidelity } from "./types.ts";

/** How like the sky the ceiling is, in words for whoever decides: the same in the command, on boards and in the studio. */
export function likenessWords(f: Pick<Fidelity, "leading" | "likeness">): { name: string; words: string }[] {
  const { edgeExcess, nearestNeighbour, band } = f.likeness;
  const among = f.leading.map((l) => l.among.toFixed(1)).join(", ");
  const of = f.leading.map((l) => l.of).join(", ");
  return [
    { name: "Brightest", words: `of the sky's ${of} brightest ${among} are among the ceiling's` },
    { name: "Tile edges", words: `${edgeExcess.toFixed(1)} times as many stars as chance puts there` },
    { name: "Spread", words: `neighbours ${nearestNeighbour.toFixed(2)} times as far apart as by chance` },
    ...(band === null
      ? []
      : [{ name: "Milky Way", words: `${Math.round(band * 100)} % alike from tile to tile` }]),
  ];
}
