import { fitGrid } from "./gridFit.ts";
import { areaOf, boxOf, contains, loopsOf, sidesOf } from "./loops.ts";
import { roomsOf } from "./rooms.ts";
import { MM_IN, UNITS, type Drawing, type Piece, type Point, type Taken, type Unit } from "./types.ts";

/** What a name says where it speaks of columns (`why` of a row): short shapes, or the axes that run through them. */
const COLUMNS = /^(COLS?|COLUMNS?|ST(UE|Ü)TZEN?)$/;
/** An open line longer than this share of the drawing is no side of a column (common practice, no source). */
const AXIS_SHARE = 1 / 4;
/** A layer is taken for the grid by its lines when at least so many of them stand at one module. */
const FEWEST_TEES = 6;
/** So many of the largest rooms are looked into for a grid. */
const MOST_TRIED = 6;

/**
 * Takes layers whose names tell nothing by their shape, where no name told: for the grid the one whose lines repeat both ways,
 * for the outline the one that closes round most of the drawing. What names or a person told stays, except that a layer named
 * for columns which holds long lines is the building's axes.
 */
export function takenByShape(drawing: Drawing, named: readonly Taken[], unit: Unit | null): Taken[] {
  const taken = named.map((row) =>
    row.what === "layer" && COLUMNS.test(row.why) && holdsAxes(drawing, row.name)
      ? {
          ...row,
          role: "ignore" as const,
          why: `${row.why}, with lines across the drawing: axes of the building`,
        }
      : row,
  );
  const open = taken.filter(({ what, role, hidden }) => what === "layer" && role === "unknown" && !hidden);
  const has = (role: Taken["role"]): boolean =>
    taken.some((row) => row.role === role && row.what === "layer" && row.pieces > 0);
  const piecesOf = ({ name }: Taken): Piece[] =>
    drawing.pieces.filter(({ layer, filled }) => layer === name && !filled);
  const found = new Map<Taken, Taken>();
  if (!has("grid")) {
    const walls = taken.filter(({ what, role, hidden }) => what === "layer" && role === "outline" && !hidden);
    const rooms = roomsOf(walls.flatMap(piecesOf), [], []).rooms.slice(0, MOST_TRIED);
    const grid = most(open, (row) => {
      const all = piecesOf(row).flatMap(sidesOf);
      // each room has a grid of its own
      const sets = [
        all,
        ...rooms.map(({ outline }) => all.filter(([p, q]) => contains(outline, middleOf(p, q)))),
      ];
      const units = unit ? [unit] : UNITS;
      return Math.max(...sets.flatMap((sides) => units.map((each) => regular(sides, MM_IN[each]))));
    });
    if (grid) found.set(grid, { ...grid, role: "grid", why: "its lines repeat" });
  }
  if (!has("outline")) {
    const { min, max } = boxOf(drawing.pieces.flatMap(({ points }) => points));
    const tolerance = Math.max(max[0] - min[0], max[1] - min[1]) / 2000 || 1;
    const outline = most(
      open.filter((row) => !found.has(row)),
      (row) => {
        const pieces = piecesOf(row).filter(({ round }) => !round);
        const largest = Math.max(
          0,
          ...loopsOf(pieces, tolerance).map(({ points }) => Math.abs(areaOf(points))),
        );
        return largest > ((max[0] - min[0]) * (max[1] - min[1])) / 10 ? largest : 0;
      },
    );
    if (outline) found.set(outline, { ...outline, role: "outline", why: "it closes round the most" });
  }
  return taken.map((row) => found.get(row) ?? row);
}

/** Whether most of what is drawn on a layer, by length, are open lines that run across much of the drawing. */
function holdsAxes(drawing: Drawing, name: string): boolean {
  const { min, max } = boxOf(drawing.pieces.flatMap(({ points }) => points));
  const long = Math.max(max[0] - min[0], max[1] - min[1]) * AXIS_SHARE;
  let [all, across] = [0, 0];
  for (const piece of drawing.pieces.filter(({ layer, filled }) => layer === name && !filled)) {
    for (const [p, q] of sidesOf(piece)) {
      const length = Math.hypot(q[0] - p[0], q[1] - p[1]);
      all += length;
      if (!piece.closed && length > long) across += length;
    }
  }
  return across > all / 2;
}

const middleOf = (p: Point, q: Point): Point => [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];

/** How many lines stand at one module in both directions; 0 where they don't. */
function regular(sides: readonly [Point, Point][], mm: number): number {
  const fit = fitGrid(
    sides.map(([p, q]) => [
      [p[0] * mm, p[1] * mm],
      [q[0] * mm, q[1] * mm],
    ]),
  );
  if (!fit || fit.moduleMm.includes(null) || fit.lines < FEWEST_TEES || fit.astray > fit.lines) return 0;
  return fit.lines;
}

function most(rows: readonly Taken[], worth: (row: Taken) => number): Taken | null {
  let [best, at]: [number, Taken | null] = [0, null];
  for (const row of rows) {
    const value = worth(row);
    if (value > best) [best, at] = [value, row];
  }
  return at;
}
