import type { Job } from "../job/schema.ts";
import { bodyDirection, starSeenAt } from "../sky/project.ts";
import { apply, type Vector } from "../sky/linear.ts";
import { planAxes, scaleUm, stereographic } from "../sky/projection.ts";
import { seenAt } from "../sky/frame.ts";
import { milkyWayLevel } from "../sky/milkyWay.ts";
import { lightOf } from "../pattern/light.ts";
import type { Projection, SkyFrame, Catalog } from "../sky/types.ts";
import type { Wish } from "./wish.ts";

/** Stars down to here count when light is weighed against fittings; they carry most of what is recognised. */
const WEIGHED_TO_CENTI = 400;
const BRIGHT_CENTI = 300;
/** The Moon must not outweigh every star together. */
const BRIGHTEST_BODY = -2;

/** One star or body of the cast. */
export interface Actor {
  row: number;
  body: number;
  light: number;
  reachMm: number;
  /** Bits of the wished figures it makes, or of the wished body. */
  wishes: number;
}

/** Who is looked for in every sky of a search: bright stars, the wished figures' stars, the wished bodies. */
export interface Cast {
  stars: Actor[];
  /** One per wished constellation, then one per wished body; bit i of Actor.wishes. */
  wished: { name: string; kind: "figure" | "body"; light: number; stars: number }[];
}

/** Puts the cast together. Reach is as in the job: longer for bright and figure-making stars and bodies. */
export function castOf(wish: Wish, job: Pick<Job, "pattern">, catalog: Catalog): Cast {
  const { stars } = catalog;
  const figures = (wish.constellations ?? []).map((abbreviation) =>
    catalog.figures.find((f) => f.abbreviation === abbreviation)!,
  );
  const wished: Cast["wished"] = figures.map((f) => ({ name: f.name, kind: "figure", light: 0, stars: 0 }));
  const bits = new Map<number, number>();
  figures.forEach((figure, i) => {
    for (const hip of new Set(figure.lines.flat())) bits.set(hip, (bits.get(hip) ?? 0) | (1 << i));
  });
  const actors: Actor[] = [];
  for (let row = 0; row < stars.count; row++) {
    const hip = stars.hip[row]!;
    const wishes = bits.get(hip) ?? 0;
    const magnitude = stars.magnitudeCenti[row]!;
    if (magnitude > WEIGHED_TO_CENTI && wishes === 0) continue;
    const far = magnitude <= BRIGHT_CENTI || catalog.figureStars.has(hip);
    const light = lightOf(magnitude * 10);
    wished.forEach((one, i) => {
      if ((wishes & (1 << i)) === 0) return;
      one.light += light;
      one.stars++;
    });
    const reachMm = far ? job.pattern.brightReachMm : job.pattern.reachMm;
    actors.push({ row, body: -1, light, reachMm, wishes });
  }
  for (const name of wish.bodies ?? []) wished.push({ name, kind: "body", light: 1, stars: 1 });
  return { stars: actors, wished };
}

/** Bodies of a frame as actors: all weigh as much as a bright star, wished ones carry their bit. */
export function bodyActors(cast: Cast, frame: SkyFrame, reachMm: number): Actor[] {
  return frame.bodies.map((body, index) => {
    const bit = cast.wished.findIndex((w) => w.kind === "body" && w.name === body.name);
    const light = lightOf(Math.round(1000 * Math.max(BRIGHTEST_BODY, body.magnitude)));
    return { row: -1, body: index, light, reachMm, wishes: bit < 0 ? 0 : 1 << bit };
  });
}

/** The cast as it stands in the sky at one time: unit vectors in the horizontal frame, only what is up. */
export interface Stand {
  actors: Actor[];
  north: Float64Array;
  east: Float64Array;
  up: Float64Array;
}

export function standOf(cast: Cast, frame: SkyFrame, catalog: Catalog, bodyReachMm: number): Stand {
  const actors: Actor[] = [];
  const places: Vector[] = [];
  const add = (actor: Actor, place: Vector): void => {
    if (place[2] <= 0) return;
    actors.push(actor);
    places.push(place);
  };
  for (const actor of cast.stars) add(actor, starSeenAt(catalog.stars, frame, actor.row));
  for (const actor of bodyActors(cast, frame, bodyReachMm))
    add(actor, bodyDirection(frame, frame.bodies[actor.body]!));
  return {
    actors,
    north: Float64Array.from(places, (p) => p[0]),
    east: Float64Array.from(places, (p) => p[1]),
    up: Float64Array.from(places, (p) => p[2]),
  };
}

/** A view of one time on the plan, unturned: positions from the anchor in micrometres. */
export interface Spread {
  projection: Projection;
  x: Float64Array;
  y: Float64Array;
  /** Names the star or body, the same at every time. */
  who: string[];
  light: Float64Array;
  reachMm: Float64Array;
  /** Bits as in Actor.wishes, and what the actor adds to each wish. */
  wishes: Int32Array;
  wishLight: Float64Array;
}

/** Carries directions to the plan of a view with no turn; far ones, which no turn brings on, are left out. */
export function spreadOf(stand: Stand, projection: Projection, farthestUm: number): Spread {
  const axes = planAxes(projection);
  const scale = scaleUm(projection);
  const actors: Actor[] = [];
  const xs: number[] = [];
  const ys: number[] = [];
  for (let i = 0; i < stand.actors.length; i++) {
    const flat = stereographic(...apply(axes, [stand.north[i]!, stand.east[i]!, stand.up[i]!]));
    if (flat === null) continue;
    const x = flat[0] * scale;
    const y = flat[1] * scale;
    if (x * x + y * y > farthestUm * farthestUm) continue;
    actors.push(stand.actors[i]!);
    xs.push(x);
    ys.push(y);
  }
  return {
    projection,
    x: Float64Array.from(xs),
    y: Float64Array.from(ys),
    who: actors.map((a) => `${a.row} ${a.body}`),
    light: Float64Array.from(actors, (a) => a.light),
    reachMm: Float64Array.from(actors, (a) => a.reachMm),
    wishes: Int32Array.from(actors, (a) => a.wishes),
    wishLight: Float64Array.from(actors, (a) => (a.body < 0 ? a.light : 1)),
  };
}

/** Samples of the Milky Way (ICRS unit vectors with a level over `FAINT_LEVEL`), an even net of the sky. */
export interface GlowNet {
  places: Vector[];
  level: Float64Array;
}
const FAINT_LEVEL = 40;
const NET_POINTS = 1200;

/** Golden-angle spiral: points spread evenly over the sphere. */
export function glowNet(catalog: Pick<Catalog, "milkyWay">): GlowNet {
  const places: Vector[] = [];
  const levels: number[] = [];
  const golden = Math.PI * (3 - Math.sqrt(5));
  for (let i = 0; i < NET_POINTS; i++) {
    const z = 1 - (2 * i + 1) / NET_POINTS;
    const r = Math.sqrt(1 - z * z);
    const place: Vector = [r * Math.cos(golden * i), r * Math.sin(golden * i), z];
    const level = milkyWayLevel(catalog.milkyWay, ...place);
    if (level < FAINT_LEVEL) continue;
    places.push(place);
    levels.push(level);
  }
  return { places, level: Float64Array.from(levels) };
}

/** The net as it stands in the sky at one time, what is up. */
export function glowStand(net: GlowNet, frame: SkyFrame): { places: Vector[]; level: number[] } {
  const places: Vector[] = [];
  const level: number[] = [];
  net.places.forEach((place, i) => {
    const seen = seenAt(frame, place);
    if (seen[2] <= 0) return;
    places.push(seen);
    level.push(net.level[i]!);
  });
  return { places, level };
}
