import type { PointMm } from "../geometry/types.ts";
import type { BoxMm } from "./clip.ts";

/** A word that wants to stand beside a mark. */
export interface LabelWish {
  centre: PointMm;
  /** Half the width of the mark. */
  reachMm: number;
  widthMm: number;
  heightMm: number;
}

export interface PlacedLabel {
  box: BoxMm;
  /** A line from the mark to the word, where the word had to stand off. */
  leader: [PointMm, PointMm] | null;
}

const DIAGONAL = Math.SQRT1_2;
const DIRECTIONS: readonly PointMm[] = [
  [1, 0],
  [DIAGONAL, DIAGONAL],
  [DIAGONAL, -DIAGONAL],
  [-1, 0],
  [-DIAGONAL, DIAGONAL],
  [-DIAGONAL, -DIAGONAL],
  [0, 1],
  [0, -1],
];
/** Between mark and word: close by, then with a leader. */
const GAPS_MM = [0.6, 2.4, 5, 8, 12, 17, 23, 30];
/** Air round a word. */
const AIR_MM = 0.35;

/** A word on another is worse than any number of lines across one. */
const ON_A_WORD = 1e4;

/** Small boxes along a line, so that words keep off it. */
export function alongLine(a: PointMm, b: PointMm): BoxMm[] {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const steps = Math.ceil(Math.sqrt(dx * dx + dy * dy) / 1.2) || 1;
  return Array.from({ length: steps + 1 }, (_, i) => {
    const [x, y] = [a[0] + (dx * i) / steps, a[1] + (dy * i) / steps];
    return { x0: x - 0.3, y0: y - 0.3, x1: x + 0.3, y1: y + 0.3 };
  });
}

/**
 * A free place beside each mark: no word on a mark, on another word, on an obstacle, or outside the bounds, and no
 * leader across one of them.
 * Tried in the order given, nearest places first; where all places are taken, the one with least overlap.
 * All lengths in mm on the sheet.
 */
export function placeLabels(wishes: LabelWish[], obstacles: BoxMm[], bounds: BoxMm): PlacedLabel[] {
  const taken = new Buckets();
  for (const {
    centre: [x, y],
    reachMm: r,
  } of wishes)
    taken.add({ x0: x - r, y0: y - r, x1: x + r, y1: y + r });
  for (const obstacle of obstacles) taken.add(obstacle);
  return wishes.map((wish) => {
    let best: PlacedLabel | null = null;
    let least = Infinity;
    search: for (const gap of GAPS_MM)
      for (const direction of DIRECTIONS) {
        const candidate = candidateAt(wish, direction, gap);
        let worse = (outside(candidate.box, bounds) * 4 + taken.overlap(candidate.box)) * ON_A_WORD;
        if (worse >= least) continue;
        for (const box of leaderBoxes(candidate)) worse += taken.overlap(box);
        if (worse < least) {
          least = worse;
          best = candidate;
          if (worse === 0) break search;
        }
      }
    for (const box of [best!.box, ...leaderBoxes(best!)]) taken.add(box);
    return best!;
  });
}

function candidateAt(wish: LabelWish, [dx, dy]: PointMm, gap: number): PlacedLabel {
  const [x, y] = wish.centre;
  const away = wish.reachMm + gap;
  const [ax, ay] = [x + dx * away, y + dy * away];
  const x0 = dx > 0.5 ? ax : dx < -0.5 ? ax - wish.widthMm : ax - wish.widthMm / 2;
  const y0 = dy > 0.5 ? ay : dy < -0.5 ? ay - wish.heightMm : ay - wish.heightMm / 2;
  const box = { x0, y0, x1: x0 + wish.widthMm, y1: y0 + wish.heightMm };
  if (gap <= GAPS_MM[0]!) return { box, leader: null };
  const start: PointMm = [x + dx * (wish.reachMm + 0.3), y + dy * (wish.reachMm + 0.3)];
  return { box, leader: [start, [ax - dx * 0.4, ay - dy * 0.4]] };
}

/** Along a leader, but for where it leaves its own mark. */
const leaderBoxes = ({ leader }: PlacedLabel): BoxMm[] => (leader ? alongLine(...leader).slice(1) : []);

function outside(box: BoxMm, bounds: BoxMm): number {
  return (
    Math.max(0, bounds.x0 - box.x0) +
    Math.max(0, box.x1 - bounds.x1) +
    Math.max(0, bounds.y0 - box.y0) +
    Math.max(0, box.y1 - bounds.y1)
  );
}

const SQUARE_MM = 15;
/** More squares than any sheet has along it, so that each has a number of its own. */
const MOST_ALONG = 1 << 15;

/** Boxes by squares of the sheet, so that a dense tile stays quick. */
class Buckets {
  private readonly boxes = new Map<number, BoxMm[]>();

  add(box: BoxMm): void {
    for (const key of squaresOf(box)) {
      const bucket = this.boxes.get(key);
      if (bucket) bucket.push(box);
      else this.boxes.set(key, [box]);
    }
  }

  /** Overlap area with all boxes, mm²; a box reaching over two squares may count twice. */
  overlap(box: BoxMm): number {
    let sum = 0;
    for (const key of squaresOf(box))
      for (const other of this.boxes.get(key) ?? []) {
        const w = Math.min(box.x1, other.x1) - Math.max(box.x0, other.x0) + AIR_MM;
        const h = Math.min(box.y1, other.y1) - Math.max(box.y0, other.y0) + AIR_MM;
        if (w > 0 && h > 0) sum += w * h;
      }
    return sum;
  }
}

function squaresOf({ x0, y0, x1, y1 }: BoxMm): number[] {
  const squares: number[] = [];
  const [foot, top] = [squareAt(y0 - AIR_MM), squareAt(y1 + AIR_MM)];
  for (let i = squareAt(x0 - AIR_MM), right = squareAt(x1 + AIR_MM); i <= right; i++)
    for (let j = foot; j <= top; j++) squares.push(i * MOST_ALONG + j);
  return squares;
}

const squareAt = (valueMm: number): number => Math.floor(valueMm / SQUARE_MM);
