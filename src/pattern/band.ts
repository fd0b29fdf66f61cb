/** How much of the sky hidden under an edge is kept, and how deep the tile gives way for it, in micrometres. */
export interface Band {
  /** Sky up to this deep under the edge is brought out. */
  hidden: number;
  /** What lies at least this deep inside stays where it is. */
  deep: number;
}

/** The tile gives way this many times as deep as what is hidden: there stars stand 1 + 1/2.5 times as dense. */
const DEPTH = 2.5;

/**
 * Of the sky under a wall angle, a plain tile or a no-go zone so much is brought out, in micrometres: sky is cut
 * off there anyway, so nothing is gained by crowding more of it in.
 */
export const BROUGHT_OUT_UM = 12_000;

/**
 * The band beside an edge: `hidden` of sky to be brought out into at most `room` of tile. Less is brought
 * out where the room is small, so that stars never stand more than twice as dense.
 */
export function bandFor(hidden: number, room: number): Band {
  const deep = Math.min(DEPTH * hidden, room);
  return { hidden: Math.min(hidden, deep), deep };
}

/**
 * A place given by how far inside the edge it lies (negative: under it) eased inward: the strip from
 * -hidden to deep shrinks evenly to the one from 0 to deep, so that order is kept and nothing jumps; null where
 * it lies deeper under the edge than `hidden` and is given up. `share` narrows the tile's part of the band: 0
 * brings what is hidden just to the edge and moves nothing else.
 */
export function ease(inside: number, { hidden, deep }: Band, share: number): number | null {
  if (inside < -hidden) return null;
  const narrow = deep * share;
  if (inside >= narrow) return inside;
  return narrow > 0 ? ((inside + hidden) * narrow) / (hidden + narrow) : 0;
}
