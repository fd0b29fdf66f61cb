import { ceilingHeightMm } from "../job/assumed.ts";
import type { Planned } from "../plan.ts";
import { icrsOf } from "../sky/frame.ts";
import { milkyWayLevel } from "../sky/milkyWay.ts";
import { projectSky } from "../sky/project.ts";
import { degPerMmAt, toDirection } from "../sky/projection.ts";
import { NO_COLOUR, type Catalog } from "../sky/types.ts";
import { starTint, WHITE } from "./colour.ts";
import { pow10 } from "./exact.ts";
import { DARK_SKY_MU, limitingMagnitude } from "./eye.ts";
import { NIGHT } from "./finish.ts";
import { starLight } from "./photometry.ts";
import { sceneOfLights, whiteLightOfLights, type SceneOptions } from "./scene.ts";
import { lightOfCode } from "./tone.ts";
import { grainAt, isInside, makeRoom, type SceneRoom } from "./room.ts";
import type { Light, Scene } from "./types.ts";
import { toMm, toUm } from "../geometry/um.ts";

/** Brightest unresolved light of the Milky Way (Sagittarius), in stars of magnitude 10 a square degree: Leinert
 * et al. 1998, A&AS 127, 1, integrated starlight; read as a round value, from memory. */
const BRIGHTEST_MILKY_WAY_S10 = 400;
/** Surface brightness of one star of magnitude 10 a square degree: 10 + 2.5 log10(3600^2). */
const S10_MU = 27.78;
/** Contrast at which a wide glow is just seen on a dark sky: Blackwell 1946, large targets, from memory. */
const CONTRAST_SEEN = 0.06;
/** The smallest step told on a dark screen: two codes of 8 bits (own judgement, no source). */
const CODES_PER_STEP = 2;
/** What the rods see looks bluish: Hunt's data as red, green and blue in Durand and Dorsey 2000 (from memory). */
const ROD_TINT = [1.05, 0.97, 1.27] as const;
/** Steps between two levels of the map that are told apart on the screen. */
const GLOW_STEPS = 8;
/** The Milky Way is sampled on a grid of this many pixels and drawn smooth between. */
const COARSE_PX = 8;
/** The Moon is drawn as its disc; planets and stars are points. */
const MOON_RADIUS_DEG = 0.26;
/** No body counts brighter: the Moon's own glare would hide the stars that a ceiling shows beside it. */
const BRIGHTEST = -4.6;

/**
 * The same patch of the real sky through the same eye, spread and screen, for comparison: every star an eye sees
 * under a dark sky, at its true place and true proportion of light, no tiles in the way, and the exposure by the
 * same rule. What the eye sees of a star is its light over the threshold (Stevens 1975), so that the faintest fade
 * instead of stopping at a limit.
 */
export function prepareRealSky(plan: Planned, catalog: Catalog, options: SceneOptions): Scene {
  const { job, ceiling } = plan;
  const room = makeRoom(ceiling, ceilingHeightMm(job.ceiling));
  const lights = skyLights(plan, catalog, room);
  const scene = sceneOfLights(job, ceiling, lights, options, { finish: NIGHT, samples: 1, dims: false });
  paintSky(scene, plan, catalog, room);
  return scene;
}

/** The light that peaks at white in the picture of this real sky: to give several pictures one exposure. */
export function skyWhiteLightOf(plan: Planned, catalog: Catalog, options: SceneOptions): number {
  const { job, ceiling } = plan;
  return whiteLightOfLights(
    job,
    ceiling,
    skyLights(plan, catalog, makeRoom(ceiling, ceilingHeightMm(job.ceiling))),
    options,
  );
}

function skyLights({ job, ceiling, frame, projection }: Planned, catalog: Catalog, room: SceneRoom): Light[] {
  const projected = projectSky(catalog, frame, projection, ceiling.box);
  const limit = limitingMagnitude(DARK_SKY_MU);
  const lights: Light[] = [];
  for (let i = 0; i < projected.count; i++) {
    const magnitude = Math.max(BRIGHTEST, projected.magnitudeMilli[i]! / 1000);
    const xMm = toMm(projected.xUm[i]!);
    const yMm = toMm(projected.yUm[i]!);
    if (magnitude >= limit || !isInside(room, xMm, yMm)) continue;
    const row = projected.row[i]!;
    const colour = row < 0 ? NO_COLOUR : catalog.stars.colourMilli[row]!;
    const tint = job.scene.tint && colour !== NO_COLOUR ? starTint(colour / 1000, magnitude) : WHITE;
    const isMoon = row < 0 && frame.bodies[-1 - row]?.name === "moon";
    const power = starLight(magnitude) - starLight(limit);
    const radiusMm = isMoon
      ? MOON_RADIUS_DEG / degPerMmAt(projection, projected.xUm[i]!, projected.yUm[i]!)
      : 0;
    lights.push({ xMm, yMm, radiusMm, power, tint, channel: -1, axis: null });
  }
  return lights;
}

/**
 * Light on the screen of a level (0 to 255) of the Milky Way's map. The even sky, to which the eye is used, is
 * shown one step over black; the Milky Way so many steps more as its contrast to that sky has of the eye's own.
 */
function glowOf(level: number): number {
  const skyS10 = pow10(-0.4 * (DARK_SKY_MU - S10_MU));
  const contrast = ((level / 255) * BRIGHTEST_MILKY_WAY_S10) / skyS10;
  return lightOfCode((CODES_PER_STEP * (1 + contrast / CONTRAST_SEEN)) / 255);
}

/** Covers the ceiling with the dark sky and the Milky Way; the walls stay. */
function paintSky(scene: Scene, plan: Planned, catalog: Catalog, room: SceneRoom): void {
  const { camera, widthPx, heightPx } = scene;
  const columns = Math.ceil(widthPx / COARSE_PX) + 1;
  const rows = Math.ceil(heightPx / COARSE_PX) + 1;
  const levels = new Float32Array(columns * rows).fill(-1);
  const { eye, forward, right, up, focalPx } = camera;
  const above = camera.ceilingMm - eye[2];
  // where the ray of a point of the picture meets the ceiling; false below the horizontal
  const at = { x: 0, y: 0 };
  const meet = (px: number, py: number): boolean => {
    const u = (px - widthPx / 2) / focalPx;
    const v = (heightPx / 2 - py) / focalPx;
    const dz = forward[2] + u * right[2] + v * up[2];
    if (dz <= 0) return false;
    at.x = eye[0] + (above / dz) * (forward[0] + u * right[0] + v * up[0]);
    at.y = eye[1] + (above / dz) * (forward[1] + u * right[1] + v * up[1]);
    return true;
  };
  for (let i = 0; i < levels.length; i++) {
    if (!meet((i % columns) * COARSE_PX, Math.floor(i / columns) * COARSE_PX)) continue;
    const direction = toDirection(plan.projection, toUm(at.x), toUm(at.y));
    if (direction[2] <= 0) continue;
    const [x, y, z] = icrsOf(plan.frame, direction);
    levels[i] = milkyWayLevel(catalog.milkyWay, x, y, z);
  }
  smooth(levels, columns, rows);
  const glows = Float64Array.from({ length: 255 * GLOW_STEPS + 1 }, (_, i) => glowOf(i / GLOW_STEPS));
  for (let py = 0; py < heightPx; py++) {
    const row = Math.floor(py / COARSE_PX);
    const v = py / COARSE_PX - row;
    for (let px = 0; px < widthPx; px++) {
      const column = Math.floor(px / COARSE_PX);
      const u = px / COARSE_PX - column;
      const k = row * columns + column;
      const top = levels[k]! * (1 - u) + levels[k + 1]! * u;
      const bottom = levels[k + columns]! * (1 - u) + levels[k + columns + 1]! * u;
      if (!meet(px + 0.5, py + 0.5) || !isInside(room, at.x, at.y)) continue;
      const level = Math.max(0, top * (1 - v) + bottom * v);
      const glow = glows[Math.round(level * GLOW_STEPS)]! * grainAt(px, py);
      const p = 3 * (py * widthPx + px);
      scene.room[p] = glow * ROD_TINT[0];
      scene.room[p + 1] = glow * ROD_TINT[1];
      scene.room[p + 2] = glow * ROD_TINT[2];
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
