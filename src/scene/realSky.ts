import type { Plan } from "../plan.ts";
import { icrsOf } from "../sky/frame.ts";
import { milkyWayLevel } from "../sky/milkyWay.ts";
import { projectSky } from "../sky/project.ts";
import { toDirection } from "../sky/projection.ts";
import { NO_COLOUR, type Catalog } from "../sky/types.ts";
import { starTint, WHITE } from "./colour.ts";
import { strandLights } from "./lights.ts";
import { END_CUTS, starLight } from "./photometry.ts";
import { makeCamera, type Camera } from "./camera.ts";
import { sceneOfLights, type SceneOptions } from "./scene.ts";
import { isInside, makeRoom, type Room } from "./room.ts";
import { lightAtEye } from "./spots.ts";
import type { Light, Scene } from "./types.ts";
import { FACTS } from "../trade/facts.ts";

/** Light of the brightest Milky Way on the screen, and of the sky between the stars (a look). */
const MILKY_WAY_LIGHT = 0.075;
const SKY_LIGHT = 0.0125;
/** The Milky Way is sampled on a grid of this many pixels and drawn smooth between. */
const COARSE_PX = 8;

/**
 * The same patch of the real sky through the same eye, lens and tone curve, for comparison: every star down
 * to 6.5 at its true place and true proportion of light, no tiles in the way. The exposure is set so that
 * the stars that have a strand shine as bright in sum as their strands do from this seat.
 */
export function prepareRealSky(plan: Plan, catalog: Catalog, options: SceneOptions): Scene {
  const { job, ceiling, frame, projection } = plan;
  const camera = makeCamera(options.seat, job.ceiling.heightMm, options.widthPx, options.heightPx);
  const projected = projectSky(catalog, frame, projection, ceiling.box);
  const room = makeRoom(ceiling, job.ceiling.heightMm);
  const gain = exposureLike(plan, camera, options.lengthsM);
  const lights: Light[] = [];
  for (let i = 0; i < projected.count; i++) {
    const magnitude = projected.magnitudeMilli[i]! / 1000;
    const xMm = projected.xUm[i]! / 1000;
    const yMm = projected.yUm[i]! / 1000;
    if (magnitude > FACTS.nakedEyeMag.value || !isInside(room, xMm, yMm)) continue;
    const row = projected.row[i]!;
    const colour = row < 0 ? NO_COLOUR : catalog.stars.colourMilli[row]!;
    const tint = job.scene.tint && colour !== NO_COLOUR ? starTint(colour / 1000) : WHITE;
    lights.push({ xMm, yMm, radiusMm: 0, power: gain * starLight(magnitude), tint, channel: -1, axis: null });
  }
  const scene = sceneOfLights(job, ceiling, lights, { ...options, samples: 1 });
  paintSky(scene, plan, catalog, room);
  return scene;
}

/** Light of the strands at the eye over light of their stars in the sky. */
function exposureLike(plan: Plan, camera: Camera, lengthsM?: ReadonlyMap<number, number>): number {
  const { job, pattern } = plan;
  const strands = strandLights(job, pattern.holes, lengthsM);
  let seen = 0;
  let sky = 0;
  pattern.holes.forEach((hole, i) => {
    if (hole.magnitude === null) return;
    seen += lightAtEye(strands[i]!, camera, job.strands.numericalAperture, END_CUTS[job.scene.ends]);
    sky += starLight(hole.magnitude);
  });
  return sky > 0 ? seen / sky : 1;
}

/** Covers the ceiling with the dark sky and the Milky Way; the walls stay. */
function paintSky(scene: Scene, plan: Plan, catalog: Catalog, room: Room): void {
  const { camera, widthPx, heightPx } = scene;
  const columns = Math.ceil(widthPx / COARSE_PX) + 1;
  const rows = Math.ceil(heightPx / COARSE_PX) + 1;
  const levels = new Float32Array(columns * rows).fill(-1);
  const onCeiling = (px: number, py: number): [number, number] | null => {
    const u = (px - widthPx / 2) / camera.focalPx;
    const v = (heightPx / 2 - py) / camera.focalPx;
    const [dx, dy, dz] = [0, 1, 2].map(
      (k) => camera.forward[k]! + u * camera.right[k]! + v * camera.up[k]!,
    ) as [number, number, number];
    if (dz <= 0) return null;
    const t = (camera.ceilingMm - camera.eye[2]) / dz;
    return [camera.eye[0] + t * dx, camera.eye[1] + t * dy];
  };
  for (let i = 0; i < levels.length; i++) {
    const at = onCeiling((i % columns) * COARSE_PX, Math.floor(i / columns) * COARSE_PX);
    if (at === null) continue;
    const direction = toDirection(plan.projection, Math.round(at[0] * 1000), Math.round(at[1] * 1000));
    if (direction[2] <= 0) continue;
    const [x, y, z] = icrsOf(plan.frame, direction);
    levels[i] = milkyWayLevel(catalog.milkyWay, x, y, z) / 255;
  }
  smooth(levels, columns, rows);
  for (let py = 0; py < heightPx; py++) {
    const row = Math.floor(py / COARSE_PX);
    const v = py / COARSE_PX - row;
    for (let px = 0; px < widthPx; px++) {
      const column = Math.floor(px / COARSE_PX);
      const u = px / COARSE_PX - column;
      const k = row * columns + column;
      const top = levels[k]! * (1 - u) + levels[k + 1]! * u;
      const bottom = levels[k + columns]! * (1 - u) + levels[k + columns + 1]! * u;
      const at = onCeiling(px + 0.5, py + 0.5);
      if (at === null || !isInside(room, at[0], at[1])) continue;
      const glow = SKY_LIGHT + MILKY_WAY_LIGHT * Math.max(0, top * (1 - v) + bottom * v);
      const p = 3 * (py * widthPx + px);
      scene.room[p] = glow * 0.86;
      scene.room[p + 1] = glow * 0.98;
      scene.room[p + 2] = glow * 1.3;
    }
  }
}

/** Two box blurs: the map is drawn from outlines, the eye sees no edge. Spots with no sky (-1) count as dark. */
function smooth(levels: Float32Array, columns: number, rows: number): void {
  const reach = 3;
  const pass = (start: number, step: number, count: number): void => {
    const line = Float32Array.from({ length: count }, (_, i) => Math.max(0, levels[start + i * step]!));
    for (let i = 0; i < count; i++) {
      let sum = 0;
      for (let k = -reach; k <= reach; k++) sum += line[Math.min(count - 1, Math.max(0, i + k))]!;
      levels[start + i * step] = sum / (2 * reach + 1);
    }
  };
  for (let round = 0; round < 2; round++) {
    for (let row = 0; row < rows; row++) pass(row * columns, 1, columns);
    for (let column = 0; column < columns; column++) pass(column, columns, rows);
  }
}
