import type { Camera } from "./camera.ts";
import type { Tint } from "./colour.ts";

/** One shining strand end. */
export interface Light {
  xMm: number;
  yMm: number;
  radiusMm: number;
  /** Intensity on its axis relative to the reference strand (photometry.ts). */
  power: number;
  tint: Tint;
  /** Track of the twinkle wheel, or -1 for steady light. */
  channel: number;
  /** Where the cone points; z down is negative. null: shines alike to all sides (the real sky). */
  axis: readonly [number, number, number] | null;
}

/** Lights as small spots of weights on the picture, worked out once for a seat. */
export interface Spots {
  count: number;
  /** Pixel box of each spot, clipped to the picture. */
  left: Int32Array;
  top: Int32Array;
  width: Int32Array;
  height: Int32Array;
  /** First weight of each spot; weights run row by row. */
  start: Int32Array;
  weights: Float32Array;
  /** Linear sRGB tint, three numbers each. */
  tint: Float32Array;
  channel: Int16Array;
  /** Index of the light it came from. */
  light: Int32Array;
}

/** A wheel (or a set of channels) that fades its tracks. */
export interface Wheel {
  turnS: number;
  depth: number;
  /** Fades in one turn, by channel. */
  lobes: Int32Array;
  /** Where each track starts, 0 to 1. */
  offset: Float64Array;
}

/** All that a frame needs, worked out once for a seat, a size and a plan. */
export interface Scene {
  camera: Camera;
  widthPx: number;
  heightPx: number;
  /** The room without strands, linear sRGB, three numbers a pixel. */
  room: Float32Array;
  lights: Light[];
  spots: Spots;
  /** Light that peaks at the screen's white, engines at EXPOSED_AT. */
  whiteLight: number;
  /** Whether the lights follow the dimmer. */
  dims: boolean;
  wheel: Wheel;
  /** Pixels that any twinkling spot touches. */
  restless: Uint32Array;
}
