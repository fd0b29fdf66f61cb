import type { Side } from "../../ceiling/flip.ts";
import type { PointMm } from "../../geometry/types.ts";
import { type PointPx, xSign } from "./planView.ts";

/** How the two words beside a wall are set on the screen. */
export interface WallMark {
  x: number;
  y: number;
  /** Upright enough to read without turning the head over: from -90 (read from the right) to below 90. */
  turnDeg: number;
  name: string;
  length: string;
  nameShown: boolean;
  lengthShown: boolean;
  nameY: number;
  lengthY: number;
}

const GAP_PX = 9;
const LINE_PX = 17;
/** Widths of an average letter; a word that would run past its wall is left out. */
const NAME_LETTER_PX = 7.2;
const LENGTH_LETTER_PX = 6.6;

/** Sets a wall's name and length outside the room, along the wall. */
export function wallMark({
  outline,
  from,
  to,
  side,
  name,
  length,
}: {
  outline: readonly PointMm[];
  from: PointPx;
  to: PointPx;
  side: Side;
  name: string;
  length: string;
}): WallMark {
  const px = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const [dx, dy] = px === 0 ? [1, 0] : [(to[0] - from[0]) / px, (to[1] - from[1]) / px];
  // On the plan, out of the room is right of a counter-clockwise wall; the screen's y and a mirrored x each turn that over.
  const turn = (signedArea(outline) >= 0 ? 1 : -1) * xSign(side);
  const outward: PointPx = [-dy * turn, dx * turn];
  let turnDeg = Math.round((Math.atan2(dy, dx) * 180) / Math.PI);
  if (turnDeg >= 90) turnDeg -= 180;
  if (turnDeg < -90) turnDeg += 180;
  // Which way "down the text" points, to stack the lines away from the wall.
  const rad = (turnDeg * Math.PI) / 180;
  const below = outward[0] * -Math.sin(rad) + outward[1] * Math.cos(rad) > 0;
  const nameShown = name.length * NAME_LETTER_PX < px;
  const lengthShown = length !== "" && length.length * LENGTH_LETTER_PX < px;
  const first = below ? GAP_PX + 10 : -GAP_PX;
  const second = below ? GAP_PX + 10 + LINE_PX : -GAP_PX - LINE_PX;
  return {
    x: (from[0] + to[0]) / 2,
    y: (from[1] + to[1]) / 2,
    turnDeg,
    name,
    length,
    nameShown,
    lengthShown,
    lengthY: first,
    nameY: lengthShown ? second : first,
  };
}

function signedArea(outline: readonly PointMm[]): number {
  let twice = 0;
  outline.forEach(([x, y], i) => {
    const [nextX, nextY] = outline[(i + 1) % outline.length] ?? [x, y];
    twice += x * nextY - nextX * y;
  });
  return twice;
}
