import type { Side } from "../../src/ceiling/flip.ts";
import type { Hole } from "../../src/pattern/types.ts";
import type { Planned } from "../../src/plan.ts";
import type { OutFile } from "../../src/sheets/files.ts";
import type { ReadPage } from "./readPdf.ts";

/** A page understood from its print alone, as the person at the bench does: by the numbers at its ticks. */
export interface Understood {
  tile: string;
  number: number;
  of: number;
  /** mm from the datum corner, seen from above. */
  holes: { x: number; y: number; diameterMm: number }[];
  fromDatum: (x: number, y: number) => [number, number];
  frame: { x0: number; y0: number; x1: number; y1: number };
  page: ReadPage;
}

export function understand(page: ReadPage, side: Side): Understood {
  const biggest = page.texts.filter((t) => t.words !== "R").reduce((a, b) => (b.sizeMm > a.sizeMm ? b : a));
  const counted = page.texts.map((t) => /^page (\d+) of (\d+)$/.exec(t.words)).find(Boolean)!;
  const ticks = page.strokes.filter((s) => s.weight === "0.18" && s.points.length === 2);
  // A numbered tick stands just left of its number (x) or just below it (y).
  const zero = (axis: 0 | 1): { at: number; value: number } => {
    const letter = "xy"[axis]!;
    for (const t of page.texts) {
      const read = new RegExp(`^${letter} (\\d+)("?)$`).exec(t.words);
      if (!read) continue;
      const value = Number(read[1]) * (read[2] === "" ? 1 : 25.4);
      const place = [t.x, t.y][axis]!;
      const near = ticks
        .filter(({ points: [p, q] }) => p![axis] === q![axis])
        .map(({ points: [p] }) => p![axis])
        .filter((at) => at < place && place - at < 1);
      if (near.length > 0) return { at: near[0]!, value };
    }
    throw new Error(`no ${letter} tick on the page of ${biggest.words}`);
  };
  const [x0, y0] = [zero(0), zero(1)];
  const way = side === "back" ? 1 : -1;
  const fromDatum = (x: number, y: number): [number, number] => [
    x0.value + way * (x - x0.at),
    y0.value + (y - y0.at),
  ];
  const frame = frameOf(page);
  const holes = marksOn(page).map(({ x, y, diameterMm }) => {
    const [hx, hy] = fromDatum(x, y);
    return { x: hx, y: hy, diameterMm };
  });
  return {
    tile: biggest.words,
    number: Number(counted[1]),
    of: Number(counted[2]),
    holes,
    fromDatum,
    frame,
    page,
  };
}

function frameOf(page: ReadPage): Understood["frame"] {
  const { points } = page.strokes.find((s) => s.weight === "0.13" && s.points.length === 4)!;
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return { x0: Math.min(...xs), y0: Math.min(...ys), x1: Math.max(...xs), y1: Math.max(...ys) };
}

/** Marks above the strip: the holes that a page carries. */
export const marksOn = (page: ReadPage): ReadPage["dots"] => {
  const { y0 } = frameOf(page);
  return page.dots.filter(({ y }) => y > y0);
};

export const pdfOf = (files: OutFile[], side: Side): Uint8Array =>
  files.find((file) => file.path === `sheets/templates-${side}.pdf`)!.bytes;

/** Largest distance (mm) of a printed mark from its hole, diameters compared too; each hole is used once. */
export function worstMatch(plan: Planned, pages: Understood[]): { worst: number; matched: number } {
  const left = new Map<string, Hole[]>();
  for (const hole of plan.pattern.holes) left.set(hole.tile, [...(left.get(hole.tile) ?? []), hole]);
  let worst = 0;
  let matched = 0;
  for (const { tile, holes } of pages)
    for (const mark of holes) {
      const candidates = left.get(tile)!;
      const distance = (h: Hole) => Math.hypot(h.tileXMm - mark.x, h.tileYMm - mark.y);
      const nearest = candidates.reduce((a, b) => (distance(b) < distance(a) ? b : a));
      worst = Math.max(worst, distance(nearest), Math.abs(nearest.diameterMm - mark.diameterMm));
      candidates.splice(candidates.indexOf(nearest), 1);
      matched++;
    }
  return { worst, matched };
}
