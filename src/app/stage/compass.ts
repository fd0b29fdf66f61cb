import type { Side } from "../../ceiling/flip.ts";
import { type PointPx, xSign } from "./planView.ts";

export interface CompassMark {
  deg: number;
  /** "N", "NE" ... or "". */
  letter: string;
  from: PointPx;
  to: PointPx;
  /** Where the letter is written. */
  at: PointPx;
}

const LETTERS: Record<number, string> = {
  0: "N",
  45: "NE",
  90: "E",
  135: "SE",
  180: "S",
  225: "SW",
  270: "W",
  315: "NW",
};
const EVERY_DEG = 5;

/** Direction of a true bearing on the screen, a unit vector with y downward. */
export function bearingOnScreen(deg: number, bearingDeg: number, side: Side): PointPx {
  const rad = ((deg - bearingDeg) * Math.PI) / 180;
  return [xSign(side) * Math.sin(rad), -Math.cos(rad)];
}

/**
 * A compass scale engraved along a frame round the room, each mark where its bearing leaves the frame as
 * seen from the middle. Half sizes of the frame in pixels. A small one names only the four main points.
 */
export function compassFrame({
  middle,
  halfWidth,
  halfHeight,
  bearingDeg,
  side,
  small = false,
}: {
  middle: PointPx;
  halfWidth: number;
  halfHeight: number;
  bearingDeg: number;
  side: Side;
  small?: boolean;
}): CompassMark[] {
  const marks: CompassMark[] = [];
  for (let deg = 0; deg < 360; deg += EVERY_DEG) {
    const [dx, dy] = bearingOnScreen(deg, bearingDeg, side);
    const reach = Math.min(
      Math.abs(dx) < 1e-9 ? Infinity : halfWidth / Math.abs(dx),
      Math.abs(dy) < 1e-9 ? Infinity : halfHeight / Math.abs(dy),
    );
    const word = LETTERS[deg] ?? "";
    const letter = small && word.length > 1 ? "" : word;
    const length = (word.length === 1 ? 12 : word ? 9 : deg % 15 === 0 ? 6 : 3) / (small ? 2 : 1);
    const gap = small ? 11 : 14;
    const from: PointPx = [middle[0] + dx * reach, middle[1] + dy * reach];
    marks.push({
      deg,
      letter,
      from,
      to: [from[0] + dx * length, from[1] + dy * length],
      at: [from[0] + dx * (length + gap), from[1] + dy * (length + gap)],
    });
  }
  return marks;
}
