import type { Job } from "../job/schema.ts";
import { holeMm } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import { starTint, WHITE } from "./colour.ts";
import { chance, settled } from "./exact.ts";
import { areaLight, END_CUTS, transmission } from "./photometry.ts";
import type { Light, Wheel } from "./types.ts";
import { FACTS } from "../trade/facts.ts";

/** Independent chances of one strand, by use. */
const CHANCE = { twinkles: 1, channel: 2, tilt: 3, turn: 100 } as const;

/**
 * Direction of the light cone of a strand whose face is cut at a chance tilt: a tilt a bends the ray by
 * asin(n sin a) - a. Straight down for square ends.
 */
function coneAxis(seed: number, id: number, tiltDeg: number): Light["axis"] {
  const sine = settled(Math.sin((tiltDeg * Math.PI) / 180)) * chance(seed + CHANCE.tilt, id);
  const outside = FACTS.pmmaIndex.value * sine;
  const bend = outside * Math.sqrt(1 - sine * sine) - Math.sqrt(1 - outside * outside) * sine;
  let x = 0;
  let y = 0;
  for (let attempt = 0; x * x + y * y > 1 || x * x + y * y < 1e-6; attempt++) {
    x = 2 * chance(seed + CHANCE.turn + 2 * attempt, id) - 1;
    y = 2 * chance(seed + CHANCE.turn + 2 * attempt + 1, id) - 1;
  }
  const aside = bend / Math.sqrt(x * x + y * y);
  return [aside * x, aside * y, -Math.sqrt(1 - bend * bend)];
}

/**
 * Holes as shining strands: light by area and loss over the length, cone by the cut, tint by B-V if asked
 * for, and a twinkle channel for a share of the stars, chosen by seed and hole, never by tile. The Moon and
 * planets do not twinkle. Lengths by hole id in metres; the job's usual length where unknown.
 */
export function strandLights(
  job: Pick<Job, "strands" | "scene" | "pattern">,
  holes: readonly Hole[],
  lengthsM?: ReadonlyMap<number, number>,
): Light[] {
  const { scene, strands } = job;
  const seed = job.pattern.seed;
  const end = END_CUTS[scene.ends];
  return holes.map((hole) => {
    const length = lengthsM?.get(hole.id) ?? scene.lengthM;
    const steady = hole.kind === "moon" || hole.kind === "planet";
    const twinkles = !steady && chance(seed + CHANCE.twinkles, hole.id) < scene.twinkle.share;
    return {
      xMm: hole.xMm,
      yMm: hole.yMm,
      radiusMm: holeMm(hole) / 2,
      power: areaLight(hole.diameterMm, hole.strands) * transmission(length, strands.lossDbPerM),
      tint: scene.tint ? starTint(hole.colourBv, hole.magnitude) : WHITE,
      channel: twinkles ? Math.floor(chance(seed + CHANCE.channel, hole.id) * scene.twinkle.channels) : -1,
      axis: coneAxis(seed, hole.id, end.tiltDeg),
    };
  });
}

/** A wheel whose tracks fade between 0.1 and 1 Hz, each a whole number of times a turn. */
export function makeWheel(job: Pick<Job, "scene" | "pattern">): Wheel {
  const { channels, turnS, depth } = job.scene.twinkle;
  const fewest = Math.max(1, Math.ceil(FACTS.fadeSlowestHz.value * turnS));
  const most = Math.max(fewest, Math.floor(FACTS.fadeFastestHz.value * turnS));
  const lobes = new Int32Array(channels);
  const offset = new Float64Array(channels);
  for (let c = 0; c < channels; c++) {
    lobes[c] = fewest + Math.floor(chance(job.pattern.seed + 11, c) * (most - fewest + 1));
    offset[c] = chance(job.pattern.seed + 12, c);
  }
  return { turnS, depth, lobes, offset };
}

/** Light let through by a channel at a time: 1 at best, 1 - depth at the bottom of a smooth fade. */
export function channelLight(wheel: Wheel, channel: number, timeS: number): number {
  if (channel < 0) return 1;
  const turns = (timeS / wheel.turnS) * wheel.lobes[channel]! + wheel.offset[channel]!;
  const phase = turns - Math.floor(turns);
  const fade = phase < 0.5 ? 2 * phase : 2 - 2 * phase;
  return 1 - wheel.depth * fade * fade * (3 - 2 * fade);
}
