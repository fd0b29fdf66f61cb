import { chance, inFrame, normal, poseByChance, seen, type Dot, type Pose, type Stray } from "./darkroom.ts";

/** A planned hole, as far as a photograph of it goes. */
export interface Planned {
  id: number;
  tile: string;
  xMm: number;
  yMm: number;
  diameterMm: number;
  /** So many in one hole. */
  strands: number;
}

/** A ceiling as it was hung, faults and all. */
export interface Hung {
  dots: Dot[];
  dead: Set<number>;
  /** By hole id: how far off its place, on the plan. */
  displaced: Map<number, [number, number]>;
}

export interface Faults {
  deadShare?: number;
  dead?: readonly number[];
  displacedShare?: number;
  /** Spread of every place, mm each way: punching and the fabric's give. */
  jitterMm?: number;
  /** Spread of the strands' light (natural logarithm): cut ends are not alike. */
  scatter?: number;
}

/** Hangs a plan: strands dead and displaced by chance, the rest lit with the spread of real ends. */
export function hang(
  holes: readonly Planned[],
  random: () => number,
  { deadShare = 0.02, dead = [], displacedShare = 0.015, jitterMm = 0.4, scatter = 0.15 }: Faults = {},
): Hung {
  const hung: Hung = { dots: [], dead: new Set(dead), displaced: new Map() };
  for (const hole of holes) {
    const wrong = random();
    const [jx, jy, bright] = [normal(random), normal(random), normal(random)];
    if (wrong < deadShare) hung.dead.add(hole.id);
    let [dx, dy] = [jitterMm * jx, jitterMm * jy];
    if (wrong > 1 - displacedShare && !hung.dead.has(hole.id)) {
      const [far, way] = [8 + 17 * random(), 2 * Math.PI * random()];
      [dx, dy] = [far * Math.cos(way), far * Math.sin(way)];
      hung.displaced.set(hole.id, [dx, dy]);
    }
    if (hung.dead.has(hole.id)) continue;
    hung.dots.push({
      xMm: hole.xMm + dx,
      yMm: hole.yMm + dy,
      light: hole.strands * (hole.diameterMm / 0.75) ** 2 * Math.exp(scatter * bright),
    });
  }
  return hung;
}

export interface Taken {
  pose: Pose;
  strays: Stray[];
}

/** A pose by chance and strays by chance over the picture. */
export function take(random: () => number, holes: readonly Planned[], strays = 20, least = 300): Taken {
  const pose = poseByChance(random, holes.map((h) => ({ ...h, light: 1 })), { least }); // prettier-ignore
  return {
    pose,
    strays: Array.from({ length: strays }, () => ({
      xPx: random() * pose.widthPx,
      yPx: random() * pose.heightPx,
      light: 0.05 + 1.5 * random(),
      sigmaPx: 1.2 + 3 * random(),
    })),
  };
}

/** Holes that lie in the frame, away from its edge. */
export const visible = (holes: readonly Planned[], pose: Pose, marginPx = 12): Planned[] =>
  holes.filter((h) => inFrame(pose, seen(pose, h.xMm, h.yMm), marginPx));

export { chance };
