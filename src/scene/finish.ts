import { NO_GO, type NoGoKind, type NoGoKindRow } from "../job/noGoKinds.ts";
import { hash32 } from "./exact.ts";

/** Linear sRGB, filled in place. */
export type Linear = [number, number, number];

export type Surface = "fabric" | "plain" | "tee" | "wall-angle" | NoGoKind;

/** A point of the ceiling and what it belongs to. */
export interface SurfacePoint {
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
  ceiling(spot: SurfacePoint, out: Linear): void;
  /** `downMm` below the ceiling; negative never. */
  wall(downMm: number, x: number, y: number, out: Linear): void;
  /** Grain from pixel to pixel, 0 to 1, so that near-black doesn't band. */
  grain: number;
  /** Whether fittings that will be hung later are marked; the ceiling goes on behind them if not. */
  marksFuture: boolean;
}

function put(out: Linear, red: number, green: number, blue: number, gain = 1): void {
  out[0] = red * gain;
  out[1] = green * gain;
  out[2] = blue * gain;
}

/** In the dark: velvet black, the grid and the room's edge only just there. */
export const NIGHT: Finish = {
  grain: 0.3,
  marksFuture: false,
  ceiling({ what, edgeMm, chance }, out) {
    if (what === "fabric") put(out, 0.0008, 0.0009, 0.0012, 0.9 + (0.2 * (chance >>> 16)) / 65536);
    else if (what === "tee") put(out, 0.0014, 0.0016, 0.002);
    else if (what === "wall-angle") put(out, 0.0017, 0.0019, 0.0023);
    else if (what === "plain") put(out, 0.0013, 0.0014, 0.0018);
    else put(out, 0.0018, 0.002, 0.0024, edgeMm < 12 ? 1.15 : 0.85);
  },
  wall(downMm, _x, _y, out) {
    const fall = 1 / (1 + (downMm / 900) * (downMm / 900));
    put(out, 0.0024, 0.0027, 0.0035, 0.3 + 0.7 * fall * (downMm < 40 ? downMm / 80 + 0.5 : 1));
  },
};

/** Fine fissures of a plain mineral tile. */
function fissured(x: number, y: number): number {
  const h = hash32(Math.floor(x / 5), Math.floor(y / 5));
  return h % 23 === 0 ? 0.72 : 1 - (h & 7) * 0.004;
}

/** What breaks up the face of a fitting: the part of its light that is left there. */
const PATTERNS: Record<
  NonNullable<NoGoKindRow["look"]["pattern"]>,
  (edgeMm: number, x: number, y: number) => number
> = {
  louvres: (edgeMm) => (edgeMm >= 20 && edgeMm % 60 < 14 ? 0.25 : 1),
  grille: (edgeMm, x, y) => (edgeMm < 12 || x % 8 < 4 === y % 8 < 4 ? 1 : 0.7),
  frame: (edgeMm) => (edgeMm < 6 || (edgeMm > 22 && edgeMm < 26) ? 0.55 : 1),
  dashes: (edgeMm, x, y) => (edgeMm < 10 && (x + y) % 120 < 60 ? 4 : 1),
  ring: (edgeMm) => (edgeMm > 14 && edgeMm < 19 ? 0.6 : 1),
};

/** By day: cloth tiles, painted grid, plain tiles, fittings. */
export const DAY: Finish = {
  grain: 0.02,
  marksFuture: true,
  ceiling({ what, x, y, edgeMm, chance }, out) {
    const shade = edgeMm < 9 ? 0.8 + edgeMm / 45 : 1;
    switch (what) {
      case "fabric":
        // One pile direction, so tiles differ by a breath only.
        return put(out, 0.0295, 0.0305, 0.0363, shade * (0.94 + (0.12 * (chance >>> 16)) / 65536));
      case "tee":
        return put(out, 0.641, 0.641, 0.625);
      case "wall-angle":
        return put(out, 0.596, 0.592, 0.58);
      case "plain":
        return put(out, 0.572, 0.568, 0.551, shade * fissured(x, y));
      default: {
        const { face, rim, pattern }: NoGoKindRow["look"] = NO_GO[what].look;
        const [red, green, blue] = rim !== undefined && edgeMm < rim.mm ? rim.colour : face;
        return put(out, red, green, blue, pattern === undefined ? 1 : PATTERNS[pattern](edgeMm, x, y));
      }
    }
  },
  wall(downMm, x, y, out) {
    const corner = 1 - 0.3 / (1 + downMm / 60);
    const wash = 0.75 + 0.25 / (1 + downMm / 2500);
    const side = 0.94 + (0.06 * (Math.floor(x + y) & 1023)) / 1023 / 8;
    put(out, 0.46, 0.438, 0.405, corner * wash * side);
  },
};
