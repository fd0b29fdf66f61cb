import type { PointMm } from "../geometry/types.ts";
import { settled } from "./exact.ts";

type Vector = readonly [number, number, number];

/** A person in the room: where the eye is and which spot of the ceiling is in the middle of the view. */
export interface Seat {
  name: string;
  atMm: PointMm;
  eyeMm: number;
  lookAtMm: PointMm;
  /** Width of the view, in a picture up to 16:9; a wider one shows more at its sides. */
  fieldDeg: number;
}

/** Widest shape of a picture whose width is the field. */
export const WIDEST_ASPECT = 16 / 9;

/**
 * A true perspective (pinhole) from the eye to the picture. Room axes: x, y of the plan, z up from the
 * floor, all mm. Looking up mirrors the plan by itself; no flip is needed.
 */
export interface Camera {
  eye: Vector;
  right: Vector;
  up: Vector;
  forward: Vector;
  /** Distance of the picture plane, in pixels. */
  focalPx: number;
  widthPx: number;
  heightPx: number;
  ceilingMm: number;
}

/** Looking nearer to straight up than this on the plan, the plan's +Y is the top of the picture. */
const OVERHEAD_MM = 1;

/** Camera of a seat under a ceiling `ceilingMm` above the floor; the eye must be lower. */
export function makeCamera(seat: Seat, ceilingMm: number, widthPx: number, heightPx: number): Camera {
  const dx = seat.lookAtMm[0] - seat.atMm[0];
  const dy = seat.lookAtMm[1] - seat.atMm[1];
  const dz = ceilingMm - seat.eyeMm;
  const away = Math.sqrt(dx * dx + dy * dy);
  const far = Math.sqrt(away * away + dz * dz);
  const overhead = away < OVERHEAD_MM;
  const forward: Vector = overhead ? [0, 0, 1] : [dx / far, dy / far, dz / far];
  const up: Vector = overhead
    ? [0, 1, 0]
    : [(-dx * dz) / (away * far), (-dy * dz) / (away * far), away / far];
  const right: Vector = [
    forward[1] * up[2] - forward[2] * up[1],
    forward[2] * up[0] - forward[0] * up[2],
    forward[0] * up[1] - forward[1] * up[0],
  ];
  const fieldPx = Math.min(widthPx, WIDEST_ASPECT * heightPx);
  const focalPx = fieldPx / 2 / settled(Math.tan((seat.fieldDeg * Math.PI) / 360));
  return {
    eye: [seat.atMm[0], seat.atMm[1], seat.eyeMm],
    right,
    up,
    forward,
    focalPx,
    widthPx,
    heightPx,
    ceilingMm,
  };
}

/** Where a point of the room falls on the picture (pixels from the top left), or null behind the eye. */
export function toScreen(camera: Camera, xMm: number, yMm: number, zMm: number): PointMm | null {
  const dx = xMm - camera.eye[0];
  const dy = yMm - camera.eye[1];
  const dz = zMm - camera.eye[2];
  const depth = dx * camera.forward[0] + dy * camera.forward[1] + dz * camera.forward[2];
  if (depth <= 1) return null;
  const scale = camera.focalPx / depth;
  return [
    camera.widthPx / 2 + scale * (dx * camera.right[0] + dy * camera.right[1] + dz * camera.right[2]),
    camera.heightPx / 2 - scale * (dx * camera.up[0] + dy * camera.up[1] + dz * camera.up[2]),
  ];
}
