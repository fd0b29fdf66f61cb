import type { PointUm } from "../geometry/types.ts";
import { seededRandom } from "./random.ts";
import type { Room } from "./room.ts";
import { nearestEdge } from "./spot.ts";

/** What is brought out from deep under something stands so far inside the edge, at most. */
const INSET_UM = 8_000;

/**
 * Where a prominent object aims at that lies too deep under something to be eased out: beside the nearest edge within
 * its reach, but not on it, where a few of them would draw it: somewhere in the first INSET_UM, by its own
 * number. Its own place where no edge is within reach.
 */
export function broughtOut(room: Room, { x, y }: PointUm, hip: number, reachUm: number): PointUm {
  const foot = nearestEdge(room, x, y, reachUm);
  if (!foot || foot.d2 === 0) return { x, y };
  const d = Math.sqrt(foot.d2);
  const far = 1 + Math.min(seededRandom(hip).below(INSET_UM), reachUm - 1 - d) / d;
  return { x: Math.round(x + (foot.x - x) * far), y: Math.round(y + (foot.y - y) * far) };
}
