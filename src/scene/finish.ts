import type { NoGoKind } from "../job/sections/ceiling.ts";
import { hash32 } from "./exact.ts";

/** Linear sRGB, filled in place. */
export type Linear = [number, number, number];

export type Surface = "fabric" | "plain" | "tee" | "wall-angle" | NoGoKind;

/** A point of the ceiling and what it belongs to. */
export interface Spot {
  what: Surface;
  x: number;
  y: number;
  /** How far inside its own edge, mm. */
  edgeMm: number;
  /** 32-bit chance of this tile or fitting. */
  chance: number;
}

/** How surfaces look. These are looks chosen by eye, not measurements. */
export interface Finish {
  ceiling(spot: Spot, out: Linear): void;
  /** `downMm` below the ceiling; negative never. */
  wall(downMm: number, x: number, y: number, out: Linear): void;
  /** Grain from pixel to pixel, 0 to 1, so that near-black doesn't band. */
  grain: number;
}

function put(out: Linear, red: number, green: number, blue: number, gain = 1): void {
  out[0] = red * gain;
  out[1] = green * gain;
  out[2] = blue * gain;
}

/** In the dark: velvet black, the grid and the room's edge only just there. */
export const NIGHT: Finish = {
  grain: 0.5,
  ceiling({ what, edgeMm, chance }, out) {
    if (what === "fabric") put(out, 0.00105, 0.00125, 0.0019, 0.85 + (0.3 * (chance >>> 16)) / 65536);
    else if (what === "tee") put(out, 0.0042, 0.005, 0.0068);
    else if (what === "wall-angle") put(out, 0.0036, 0.0043, 0.006);
    else if (what === "plain") put(out, 0.0034, 0.0039, 0.0052);
    else if (what === "future-fitting") put(out, 0.0012, 0.0014, 0.002);
    else put(out, 0.0046, 0.0052, 0.0066, edgeMm < 12 ? 1.35 : 0.8);
  },
  wall(downMm, _x, _y, out) {
    const fall = 1 / (1 + (downMm / 900) * (downMm / 900));
    put(out, 0.0052, 0.0058, 0.0082, 0.22 + 0.78 * fall * (downMm < 40 ? downMm / 80 + 0.5 : 1));
  },
};

/** Fine fissures of a plain mineral tile. */
function fissured(x: number, y: number): number {
  const h = hash32(Math.floor(x / 5), Math.floor(y / 5));
  return h % 23 === 0 ? 0.72 : 1 - (h & 7) * 0.004;
}

/** By day: cloth tiles, painted grid, plain tiles, fittings. */
export const DAY: Finish = {
  grain: 0.02,
  ceiling({ what, x, y, edgeMm, chance }, out) {
    const shade = edgeMm < 9 ? 0.8 + edgeMm / 45 : 1;
    switch (what) {
      case "fabric":
        // One pile direction, so tiles differ by a breath only.
        return put(out, 0.03, 0.031, 0.037, shade * (0.94 + (0.12 * (chance >>> 16)) / 65536));
      case "tee":
        return put(out, 1.05, 1.04, 1.0);
      case "wall-angle":
        return put(out, 0.92, 0.91, 0.88);
      case "plain":
        return put(out, 0.86, 0.85, 0.81, shade * fissured(x, y));
      case "luminaire":
      case "emergency-light":
        return edgeMm < 18 ? put(out, 0.7, 0.7, 0.69) : put(out, 4, 3.9, 3.6);
      case "exit-sign":
        return edgeMm < 10 ? put(out, 0.8, 0.8, 0.8) : put(out, 0.05, 0.6, 0.22);
      case "diffuser": {
        const louvre = edgeMm % 60 < 14 ? 0.25 : 1;
        return put(out, 0.8, 0.8, 0.79, edgeMm < 20 ? 1 : louvre);
      }
      case "speaker":
        return put(out, 0.66, 0.66, 0.66, edgeMm < 12 || x % 8 < 4 === y % 8 < 4 ? 1 : 0.7);
      case "sprinkler":
        return edgeMm < 14 ? put(out, 0.85, 0.85, 0.84) : put(out, 0.35, 0.3, 0.22);
      case "camera":
        return edgeMm < 25 ? put(out, 0.8, 0.8, 0.8) : put(out, 0.02, 0.02, 0.025);
      case "hatch":
        return put(out, 0.84, 0.83, 0.8, edgeMm < 6 || (edgeMm > 22 && edgeMm < 26) ? 0.55 : 1);
      case "future-fitting":
        return put(out, 0.032, 0.033, 0.04, edgeMm < 10 && (x + y) % 120 < 60 ? 4 : 1);
      default:
        return put(out, 0.85, 0.85, 0.83, edgeMm > 14 && edgeMm < 19 ? 0.6 : 1);
    }
  },
  wall(downMm, x, y, out) {
    const corner = 1 - 0.3 / (1 + downMm / 60);
    const wash = 0.75 + 0.25 / (1 + downMm / 2500);
    const side = 0.94 + (0.06 * (Math.floor(x + y) & 1023)) / 1023 / 8;
    put(out, 0.62, 0.58, 0.52, corner * wash * side);
  },
};
