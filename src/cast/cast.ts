import { type Lens, lensThrough, toPlan } from "../photo/lens.ts";
import { diagonalsMm, type FourCorners, middleOf } from "./corners.ts";

/** A place on the picture that the projector throws, or on the screen. */
export interface PicturePx {
  xPx: number;
  yPx: number;
}
export type FourMarks = [PicturePx, PicturePx, PicturePx, PicturePx];

/**
 * How far what is cast may lie off its place before nothing is punched by it: our own choice, half the keep-clear of
 * the thinnest strands; whoever works may set another.
 */
export const CAST_LIMIT_MM = 1;

/** How a tile lies in the projector's picture: the homography that brings its corners to the four marks; null where they cross or lie on a line. */
export function castThrough(
  size: { widthPx: number; heightPx: number },
  corners: FourCorners,
  marks: FourMarks,
): Lens | null {
  if (!isConvex(marks)) return null;
  const { xMm, yMm } = middleOf(corners);
  const unitMm = Math.max(...diagonalsMm(corners)) / 2;
  const pairs = corners.map((corner, i) => ({ ...corner, ...marks[i]! }));
  return lensThrough(size, { originMm: [xMm, yMm], unitMm }, pairs);
}

function isConvex(marks: FourMarks): boolean {
  const turns = marks.map((p, i) => {
    const [q, r] = [marks[(i + 1) % 4]!, marks[(i + 2) % 4]!];
    return (q.xPx - p.xPx) * (r.yPx - q.yPx) - (q.yPx - p.yPx) * (r.xPx - q.xPx);
  });
  return turns.every((turn) => turn > 0) || turns.every((turn) => turn < 0);
}

/** What was measured on the tile against what is cast on it. */
export interface CastCheck {
  /** From where the cross is cast to where the diagonals of the tile itself cross. */
  middleMm: number | null;
  /** Each diagonal as measured, less what it should be. */
  diagonalsMm: [number | null, number | null];
  /** The largest of these; null as long as one of them was not measured. */
  residualMm: number | null;
}

/**
 * Checks a cast. Four marks always lie on their four corners, whatever is wrong; so the check takes what the fit has not
 * seen: the middle, which a mark set badly or a lens that bends moves, and the diagonals, which tell a tile that is not
 * square or not the one it should be.
 * @param crossPx where the cross of the tile itself is in the picture, or null
 * @param measuredMm the diagonals by tape, upper left to lower right first, or null
 */
export function checkCast(
  lens: Lens,
  corners: FourCorners,
  crossPx: PicturePx | null,
  measuredMm: readonly [number | null, number | null],
): CastCheck {
  const middle = middleOf(corners);
  const seen = crossPx && toPlan(lens, crossPx.xPx, crossPx.yPx);
  const middleMm = seen ? Math.sqrt((seen.xMm - middle.xMm) ** 2 + (seen.yMm - middle.yMm) ** 2) : null;
  const should = diagonalsMm(corners);
  const off = measuredMm.map((mm, i) => (mm === null ? null : mm - should[i]!)) as [
    number | null,
    number | null,
  ];
  const all = [middleMm, ...off];
  const known = all.every((mm) => mm !== null);
  const residualMm = known ? Math.max(...all.map((mm) => Math.abs(mm!))) : null;
  return { middleMm, diagonalsMm: off, residualMm };
}
