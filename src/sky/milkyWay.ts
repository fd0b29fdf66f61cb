import { atan2Deg } from "./exactTrig.ts";
import { brokenFile, unpack } from "./envelope.ts";
import type { MilkyWayMap } from "./types.ts";

/** Payload: u16 width, u16 height, then the levels, each row as differences to the node before (mod 256). */
export const MILKY_WAY_MAGIC = "VMWY";

/** Steps between two nodes: a place on the map is rounded to this, so that no last bit can tip a level. */
const STEPS = 256;

/** Reads the Milky Way map; `file` names it in errors. */
export function readMilkyWay(bytes: Uint8Array, file: string): MilkyWayMap {
  const { payload } = unpack(bytes, MILKY_WAY_MAGIC, file);
  const view = new DataView(payload.buffer, payload.byteOffset, payload.byteLength);
  const width = payload.length >= 4 ? view.getUint16(0, true) : 0;
  const height = payload.length >= 4 ? view.getUint16(2, true) : 0;
  if (width < 2 || height < 2 || payload.length !== 4 + width * height) {
    throw brokenFile(file, "one level for each node", `${width} by ${height}, ${payload.length} bytes`);
  }
  const level = new Uint8Array(width * height);
  for (let row = 0; row < height; row++) {
    let value = 0;
    for (let i = row * width; i < (row + 1) * width; i++) {
      value = (value + payload[4 + i]!) & 255;
      level[i] = value;
    }
  }
  return { width, height, level };
}

/**
 * Brightness of the Milky Way in the direction of a unit vector (ICRS, J2000): 0 none to 255 brightest,
 * bilinear between the nodes, a whole number that is the same in every engine.
 */
export function milkyWayLevel(map: MilkyWayMap, x: number, y: number, z: number): number {
  const raDeg = atan2Deg(y, x);
  const decDeg = atan2Deg(z, Math.sqrt(x * x + y * y));
  const turn = map.width * STEPS;
  const column = ((Math.round((raDeg / 360) * turn) % turn) + turn) % turn;
  const row = Math.round(((90 - decDeg) / 180) * (map.height - 1) * STEPS);
  const left = Math.floor(column / STEPS);
  const right = (left + 1) % map.width;
  const top = Math.floor(row / STEPS);
  const bottom = Math.min(top + 1, map.height - 1);
  const fx = column - left * STEPS;
  const fy = row - top * STEPS;
  const { level, width } = map;
  const above = level[top * width + left]! * (STEPS - fx) + level[top * width + right]! * fx;
  const below = level[bottom * width + left]! * (STEPS - fx) + level[bottom * width + right]! * fx;
  return Math.round((above * (STEPS - fy) + below * fy) / (STEPS * STEPS));
}
