import type { PointUm } from "../geometry/types.ts";
import { bandFor, BROUGHT_OUT_UM } from "./band.ts";
import { seededRandom } from "./random.ts";
import type { Room } from "./room.ts";
import { nearestEdge } from "./spot.ts";

/** How far inside an edge the tile gives way for what is brought out from under something wide. */
const BAND_UM = bandFor(BROUGHT_OUT_UM, Infinity).deep;

/**
 * Where a prominent object aims at that lies too deep under something to be eased out: beside the nearest edge within
 * its reach, but not on it, where a few of them would draw it: somewhere in its `share` of the band (`bandShare`) by
 * its own number, as far as its reach allows. Its own place where no edge is within reach.
 */
export function broughtOut(
  room: Room,
  { x, y }: PointUm,
  hip: number,
  share: number,
  reachUm: number,
): PointUm {
  const foot = nearestEdge(room, x, y, reachUm);
  if (!foot || foot.d2 === 0) return { x, y };
  const d = Math.sqrt(foot.d2);
  const inset = seededRandom(hip).below(Math.round(share * BAND_UM));
  const far = 1 + Math.min(inset, reachUm - 1 - d) / d;
  return { x: Math.round(x + (foot.x - x) * far), y: Math.round(y + (foot.y - y) * far) };
}
