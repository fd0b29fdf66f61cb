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

/** The density of stars rises from the edge, and falls to the open tile, over this part of the band each: neither end shows. */
const RAMP = 0.25;
/** ... and between the two it is so much of what an even band would add. */
const PLATEAU = 1 / (1 - RAMP);

/**
 * A place given by how far inside the edge it lies (negative: under it) eased inward: the strip from -hidden to deep
 * shrinks to the one from 0 to deep, so that order is kept and nothing jumps; null where it lies deeper under the
 * edge than `hidden` and is given up. Stars come to stand densest in the middle of the band, and at its edge
 * no denser than anywhere, or a tee would be drawn by those beside it. `share` narrows the tile's part of the band: 0
 * brings what is hidden just to the edge and moves nothing else.
 */
export function ease(inside: number, { hidden, deep }: Band, share: number): number | null {
  if (inside < -hidden) return null;
  const narrow = deep * share;
  if (inside >= narrow) return inside;
  const crowd = PLATEAU * hidden;
  const fromEdge = inside + hidden;
  const fromOpen = narrow - inside;
  // d + hidden x (part of the crowd up to d) is how much sky lies up to d: a straight line between two parabolas
  const ramp = (sky: number) =>
    (2 * sky * narrow) / (narrow + Math.sqrt(narrow * narrow + (2 * crowd * sky) / RAMP));
  const inRamp = RAMP * (narrow + crowd / 2);
  if (fromEdge < inRamp) return ramp(fromEdge);
  if (fromOpen < inRamp) return narrow - ramp(fromOpen);
  return (narrow * (fromEdge + (crowd * RAMP) / 2)) / (narrow + crowd);
}
