import { signedAreaUm2 } from "../geometry/area.ts";
import type { Ring } from "../geometry/types.ts";
import type { Wall } from "./types.ts";

/**
 * The walls in the order of the job's outline points: wall i runs from point i to the next. A wall faces
 * the bearing that one looks to, standing square before it in the room; in a rectangular room that is its
 * bearing from the middle. bearingDeg is the bearing of the plan's +Y.
 */
export function wallsOf(ring: Ring, names: string[], bearingDeg: number): Wall[] {
  const outward = signedAreaUm2(ring) > 0 ? 1 : -1;
  return ring.map((fromUm, i) => {
    const toUm = ring[(i + 1) % ring.length]!;
    const right = (toUm.y - fromUm.y) * outward;
    const up = (fromUm.x - toUm.x) * outward;
    const onPlanDeg = (Math.atan2(right, up) * 180) / Math.PI;
    return { name: names[i] || `wall ${i + 1}`, fromUm, toUm, facingDeg: compass(bearingDeg + onPlanDeg) };
  });
}

/** Degrees brought to 0-360, kept to a millionth, which every engine gives alike. */
function compass(deg: number): number {
  const rounded = Math.round(deg * 1e6) / 1e6;
  return ((rounded % 360) + 360) % 360;
}
