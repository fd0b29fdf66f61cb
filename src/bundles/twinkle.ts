import { seededRandom, type Random } from "../pattern/random.ts";
import type { BundlesSection } from "../job/sections/bundles.ts";
import type { Hole } from "../pattern/types.ts";
import type { Strand } from "./types.ts";

type Twinkle = BundlesSection["twinkle"];
type Place = Pick<Strand, "channel" | "wheelDeg">;

/** Streams of chance kept apart from those of the pattern. */
const PORT_STREAM = 7001;

/** Steps of a turn of the wheel: tenths of a degree. */
const TURN = 3600;

/**
 * Channels, or places round the wheel, of the holes that an engine lights, by chance and in equal numbers. Each tile
 * deals its own, so that nothing changed elsewhere touches its papers; jobs of old deal among all holes of the engine.
 */
export function placesAtPort(
  byTile: readonly (readonly Hole[])[],
  engine: { letter: string; index: number },
  twinkle: Twinkle,
  seed: number,
): Map<number, Place> {
  if (twinkle.dealt === "engine")
    return new Map(deal(byTile.flat(), twinkle, seededRandom(seed, PORT_STREAM + engine.index), () => 0));
  return new Map(
    byTile.flatMap((holes) => {
      const random = seededRandom(seed, streamOf(`${engine.letter}-${holes[0]?.tile ?? ""}`));
      return deal(holes, twinkle, random, (places) => random.below(places));
    }),
  );
}

/** The Moon and planets, which do not twinkle, take channel 1: run that one steady. `from` gives the first place. */
function deal(
  holes: readonly Hole[],
  { kind, channels }: Twinkle,
  random: Random,
  from: (places: number) => number,
): [number, Place][] {
  const steady = (hole: Hole) => hole.kind === "moon" || hole.kind === "planet";
  const shuffled = [...holes].sort((a, b) => Number(steady(b)) - Number(steady(a)) || a.id - b.id);
  const first = kind === "channels" ? shuffled.filter(steady).length : 0;
  for (let i = shuffled.length - 1; i > first; i--) {
    const j = first + random.below(i - first + 1);
    [shuffled[i], shuffled[j]] = [shuffled[j]!, shuffled[i]!];
  }
  const start = from(kind === "channels" ? channels : TURN);
  return shuffled.map((hole, i) => [
    hole.id,
    {
      channel: kind !== "channels" ? null : i < first ? 1 : 1 + ((start + i) % channels),
      wheelDeg: kind !== "wheel" ? null : ((start + Math.floor((i * TURN) / shuffled.length)) % TURN) / 10,
    },
  ]);
}

/** A stream of chance for the name of a tail. */
const streamOf = (name: string): number =>
  [...name].reduce((sum, letter) => (Math.imul(sum, 31) + letter.charCodeAt(0)) | 0, PORT_STREAM);
