import { fittingOf } from "./fittings.ts";
import { boxOf } from "./loops.ts";
import { keyOf } from "./roles.ts";
import type { Drawing, Piece, Point, Role, Taken } from "./types.ts";

/** Lines of one layer and role as one SVG path, y downward, from the upper left of the drawing's box. */
export interface PictureLines {
  layer: string;
  /** Block that told the role, or "". */
  block: string;
  role: Role;
  path: string;
}

/** A drawing to be looked at: what is taken for nothing is shown too. */
export interface Picture {
  /** Upper left corner of the box in the drawing's axes, to place a room in the picture. */
  from: Point;
  size: Point;
  lines: PictureLines[];
  /** Lines left out because there are more than a screen can show. */
  leftOut: number;
}

/** More points than this are slow to draw and no easier to read. */
const MOST_POINTS = 150_000;
/** Finer than this share of the drawing nothing shows. */
const FINEST_SHARE = 1 / 20_000;

/** The picture of a drawing with what each line is taken for; hidden layers are left out unless somebody gave them a role. */
export function pictureOf(drawing: Drawing, taken: readonly Taken[]): Picture {
  const rows = new Map(taken.map((row) => [keyOf(row.what, row.name), row]));
  const roleOfLayer = (name: string): Role => rows.get(keyOf("layer", name))?.role ?? "unknown";
  const roleOfBlock = (name: string): Role => rows.get(keyOf("block", name))?.role ?? "unknown";
  const shown = drawing.pieces.filter(({ layer }) => {
    const row = rows.get(keyOf("layer", layer));
    return !row?.hidden || row.why === "as said";
  });
  const { min, max } = boxOf(shown.flatMap(({ points }) => points));
  const size: Point = [Math.max(0, max[0] - min[0]), Math.max(0, max[1] - min[1])];
  const step = Math.max(...size) * FINEST_SHARE || 1;
  const paths = new Map<string, PictureLines>();
  let [points, leftOut] = [0, 0];
  for (const piece of shown) {
    points += piece.points.length;
    if (points > MOST_POINTS) {
      leftOut++;
      continue;
    }
    const fitting = fittingOf(piece, roleOfLayer, roleOfBlock, new Set());
    const role = fitting?.kind ?? roleOfLayer(piece.layer);
    const block = fitting && fitting.from !== piece.layer ? fitting.from : "";
    const key = JSON.stringify([piece.layer, block, role]);
    const lines = paths.get(key) ?? { layer: piece.layer, block, role, path: "" };
    lines.path += pathOf(piece, min[0], max[1], step);
    paths.set(key, lines);
  }
  return { from: [min[0], max[1]], size, lines: [...paths.values()], leftOut };
}

function pathOf({ points, closed }: Piece, left: number, top: number, step: number): string {
  const whole = (value: number): number => Number((Math.round(value / step) * step).toPrecision(8));
  const at = points.map(([x, y]) => `${whole(x - left)} ${whole(top - y)}`);
  return `M${at.join("L")}${closed ? "Z" : ""}`;
}
