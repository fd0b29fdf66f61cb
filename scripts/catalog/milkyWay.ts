import { sinCosDeg } from "../../src/sky/exactTrig.ts";
import { MILKY_WAY_MAGIC } from "../../src/sky/milkyWay.ts";
import { pack } from "../../src/sky/envelope.ts";
import type { MilkyWayMap } from "../../src/sky/types.ts";
import type { Feature, Point } from "./sources.ts";

export const STEP_DEG = 0.5;
/** Samples per step each way: a node's level is the share of its cell inside the outlines. */
const FINE = 4;
/** Half width of the smoothing box on the sky, applied twice (a tent 3 degrees wide at its foot). */
const SMOOTH_DEG = 0.75;

/**
 * Rasters nested brightness outlines. A point's level counts the outlines that hold it by the even-odd rule,
 * told by the crossings of its meridian on the way to the celestial pole, which no outline holds.
 */
export function rasterMilkyWay(outlines: Feature<Point[][]>[]): MilkyWayMap {
  const width = 360 / STEP_DEG;
  const height = 180 / STEP_DEG + 1;
  const sum = new Float64Array(width * height);
  const fine = STEP_DEG / FINE;
  for (const { geometry } of outlines) {
    const edges = geometry.coordinates.flatMap(ringEdges);
    for (let sub = 0; sub < width * FINE; sub++) {
      // Odd multiples of 1/16 degree: never a vertex, whose places end at 1/1000.
      const lon = (sub + 0.5) * fine - STEP_DEG / 2;
      const column = Math.floor(sub / FINE);
      const crossings = meridianCrossings(edges, lon);
      for (let k = 0; k + 1 < crossings.length; k += 2) {
        const top = Math.ceil((90 + STEP_DEG / 2 - crossings[k]!) / fine - 0.5);
        const end = Math.ceil((90 + STEP_DEG / 2 - crossings[k + 1]!) / fine - 0.5);
        for (let r = top; r < end; r++) sum[Math.floor(r / FINE) * width + column]! += 1;
      }
    }
  }
  const scale = 255 / (FINE * FINE * outlines.length);
  const smooth = smoothed(smoothed(sum, width, height), width, height);
  return { width, height, level: Uint8Array.from(smooth, (v) => Math.round(v * scale)) };
}

type Edge = { lon: number; dec: number; dLon: number; dDec: number };

function ringEdges(ring: Point[]): Edge[] {
  return ring.map(([lon, dec], i) => {
    const [lon2, dec2] = ring[(i + 1) % ring.length]!;
    const dLon = ((((lon2 - lon + 180) % 360) + 360) % 360) - 180; // the short way round, across the seam too
    return { lon, dec, dLon, dDec: dec2 - dec };
  });
}

/** Declinations where the outline crosses a meridian, from north to south; always an even number. */
function meridianCrossings(edges: Edge[], lon: number): number[] {
  const crossings: number[] = [];
  for (const { lon: from, dec, dLon, dDec } of edges) {
    const west = Math.min(from, from + dLon);
    const ahead = (((lon - west) % 360) + 360) % 360;
    if (ahead < Math.abs(dLon)) crossings.push(dec + (dDec * (west + ahead - from)) / dLon);
  }
  if (crossings.length % 2 !== 0) throw new Error(`an outline is open on the meridian ${lon}`);
  return crossings.sort((a, b) => b - a);
}

/** Box mean of a fixed size on the sky: wider in columns towards the poles. */
function smoothed(grid: Float64Array, width: number, height: number): Float64Array {
  const rows = new Float64Array(grid.length);
  for (let r = 0; r < height; r++) {
    const [, cosDec] = sinCosDeg(90 - r * STEP_DEG);
    const reach = Math.min(width / 2 - 1, Math.round(SMOOTH_DEG / STEP_DEG / Math.max(cosDec, 1e-6)));
    for (let c = 0; c < width; c++) {
      let total = 0;
      for (let d = -reach; d <= reach; d++) total += grid[r * width + ((c + d + width) % width)]!;
      rows[r * width + c] = total / (2 * reach + 1);
    }
  }
  const reach = Math.round(SMOOTH_DEG / STEP_DEG);
  const out = new Float64Array(grid.length);
  for (let r = 0; r < height; r++) {
    for (let c = 0; c < width; c++) {
      let total = 0;
      let rowsUsed = 0;
      for (let q = Math.max(0, r - reach); q <= Math.min(height - 1, r + reach); q++, rowsUsed++) {
        total += rows[q * width + c]!;
      }
      out[r * width + c] = total / rowsUsed;
    }
  }
  return out;
}

/** Layout in src/sky/milkyWay.ts. */
export function packMilkyWay({ width, height, level }: MilkyWayMap): Uint8Array {
  const payload = new Uint8Array(4 + level.length);
  const view = new DataView(payload.buffer);
  view.setUint16(0, width, true);
  view.setUint16(2, height, true);
  for (let i = 0; i < level.length; i++) payload[4 + i] = level[i]! - (i % width > 0 ? level[i - 1]! : 0);
  return pack(MILKY_WAY_MAGIC, width * height, payload);
}
