import { line, text, type Drawing, type Ink, type Item } from "../../drawing/drawing.ts";
import type { PointMm } from "../../geometry/types.ts";
import type { DarkTester } from "../../photo/darkTest.ts";
import { toPicture } from "../../photo/lens.ts";
import type { DarkTest, HoleVerdict, Verdict } from "../../photo/types.ts";

const LAYER = "MARKS";
/** A drawing says millimetres, a picture pixels: 96 to the inch, as CSS counts them. */
export const MM_PER_PX = 25.4 / 96;
const HALO: Ink = "#000000";

/** Each verdict has a shape and a letter of its own; colour only helps. */
export const MARKS: Record<Verdict | "stray", { letter: string; ink: Ink; words: string }> = {
  lit: { letter: "", ink: "#7fb0d8", words: "small ring: lit" },
  dead: { letter: "D", ink: "#ff7a59", words: "D, cross: dead" },
  dim: { letter: "F", ink: "#ffc94d", words: "F, triangle: faint" },
  displaced: { letter: "M", ink: "#8ef58e", words: "M, arrow: moved off its place" },
  hidden: { letter: "H", ink: "#d9a7ff", words: "H, square: hidden" },
  unlit: { letter: "U", ink: "#9a9a9a", words: "U, short bar: unlit as planned" },
  unsure: { letter: "?", ink: "#e6e6e6", words: "?, diamond: can't be told" },
  stray: { letter: "S", ink: "#ff9de0", words: "S, six corners: no strand of ours" },
  "not in the picture": { letter: "", ink: "#000000", words: "" },
};

interface Pen {
  /** A length that is well seen on the whole picture. */
  unit: number;
  at: (xPx: number, yPx: number) => PointMm;
  items: Item[];
}

/**
 * The marks that lie on a photograph, on a drawing as large as the photograph with a foot that explains them. Strands of
 * a tile or tail that is told as a whole are marked without their numbers.
 */
export function drawMarks(
  test: DarkTest,
  tester: DarkTester,
  picture: number,
  tileBoxes: readonly TileBox[],
): Drawing {
  const { widthPx, heightPx } = test.pictures[picture]!;
  const unit = (Math.max(widthPx, heightPx) / 420) * MM_PER_PX;
  const foot = footPx({ widthPx, heightPx });
  const whole = heightPx + foot;
  const pen: Pen = { unit, at: (x, y) => [x * MM_PER_PX, (whole - y) * MM_PER_PX], items: [] };
  const grouped = groupedTiles(test);
  test.holes.forEach((verdict, i) => {
    const reading = tester.reading(picture, i);
    if (!reading || reading.verdict === "not in the picture" || verdict.picture === null) return;
    const alone = !grouped(verdict);
    // of a tile that is told as a whole every picture says the same
    const own = verdict.picture === picture || !alone ? verdict.verdict : reading.verdict;
    if (verdict.verdict !== own && verdict.verdict === "lit") return;
    const label = alone ? `${MARKS[own].letter} ${verdict.tile}·${verdict.numberInTile}` : "";
    const spot = own === "displaced" && alone ? tester.spot(picture, reading.spot) : undefined;
    mark(pen, own, reading, label, spot);
  });
  for (const stray of test.strays) if (stray.picture === picture) mark(pen, "stray", stray, "S");
  tileOutlines(pen, test, tester, picture, tileBoxes);
  legend(pen, test, heightPx, foot);
  return { title: test.pictures[picture]!.name, widthMm: widthPx * MM_PER_PX, heightMm: whole * MM_PER_PX, zeroMm: [0, 0], items: pen.items }; // prettier-ignore
}

/** Height of the strip under the picture that explains the marks. */
export const footPx = ({ widthPx, heightPx }: { widthPx: number; heightPx: number }): number =>
  Math.round(Math.max(widthPx, heightPx) / 14);

export interface TileBox {
  name: string;
  /** On the plan, seen from above, in mm. */
  corners: [PointMm, PointMm, PointMm, PointMm];
}

function groupedTiles(test: DarkTest): (verdict: HoleVerdict) => boolean {
  const tiles = new Set(test.tiles.flatMap((f) => [f.tile, f.showsTile]));
  const dark = new Set(test.dark.flatMap((group) => group.tiles));
  return ({ tile, verdict }) => tiles.has(tile) || (dark.has(tile) && verdict === "dead");
}

function stroke(pen: Pen, rings: PointMm[], closed: boolean, ink: Ink, width = 0.45): void {
  const path = (widthMm: number, colour: Ink): Item => ({ kind: "path", layer: LAYER, rings: [rings], closed, stroke: { widthMm, grey: 1, ink: colour } }); // prettier-ignore
  pen.items.push(path((width + 0.5) * pen.unit, HALO), path(width * pen.unit, ink));
}

function write({
  pen,
  at: [x, y],
  words,
  ink,
  size,
  align = "left",
}: {
  pen: Pen;
  at: PointMm;
  words: string;
  ink: Ink;
  size: number;
  align?: "left" | "centre";
}): void {
  const at: PointMm = [x, y];
  for (const [dx, dy] of [[-1, 0], [1, 0], [0, -1], [0, 1]] as const) // prettier-ignore
    pen.items.push(text(LAYER, [at[0] + dx * size * 0.07, at[1] + dy * size * 0.07], words, size, { bold: true, ink: HALO, align })); // prettier-ignore
  pen.items.push(text(LAYER, at, words, size, { bold: true, ink, align }));
}

function mark(
  pen: Pen,
  kind: Verdict | "stray",
  { xPx, yPx }: { xPx: number; yPx: number },
  label: string,
  to?: { xPx: number; yPx: number },
): void {
  const { unit } = pen;
  const { ink } = MARKS[kind];
  const [x, y] = pen.at(xPx, yPx);
  const ring = (corners: number, radius: number, turn: number): PointMm[] =>
    Array.from({ length: corners }, (_, i) => {
      const a = turn + (2 * Math.PI * i) / corners;
      return [x + radius * unit * Math.cos(a), y + radius * unit * Math.sin(a)];
    });
  if (kind === "lit") {
    pen.items.push({ kind: "circle", layer: LAYER, centre: [x, y], radiusMm: 1.1 * unit, stroke: { widthMm: 0.16 * unit, grey: 1, ink } }); // prettier-ignore
    return;
  }
  const r = 2.2;
  if (kind === "dead") {
    stroke(pen, [[x - r * unit, y - r * unit], [x + r * unit, y + r * unit]], false, ink); // prettier-ignore
    stroke(pen, [[x - r * unit, y + r * unit], [x + r * unit, y - r * unit]], false, ink); // prettier-ignore
  } else if (kind === "unlit")
    stroke(pen, [[x - r * unit, y], [x + r * unit, y]], false, ink); // prettier-ignore
  else if (kind === "dim") stroke(pen, ring(3, 2.6, -Math.PI / 2), true, ink);
  else if (kind === "hidden") stroke(pen, ring(4, 2.8, Math.PI / 4), true, ink);
  else if (kind === "unsure") stroke(pen, ring(4, 2.6, 0), true, ink);
  else if (kind === "stray") stroke(pen, ring(6, 2.6, 0), true, ink);
  else {
    stroke(pen, ring(16, 1.4, 0), true, ink, 0.3);
    if (to) arrow(pen, [x, y], pen.at(to.xPx, to.yPx), ink);
  }
  if (label) write({ pen, at: [x + 3 * unit, y + 1.2 * unit], words: label, ink, size: 4.6 * unit });
}

/** From where a light should be to where it is; short ways are drawn longer, to be seen. */
function arrow(pen: Pen, from: PointMm, to: PointMm, ink: Ink): void {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const long = Math.hypot(dx, dy) || 1;
  const draw = Math.max(long, 5 * pen.unit);
  const [ux, uy] = [dx / long, dy / long];
  const tip: PointMm = [from[0] + ux * draw, from[1] + uy * draw];
  const barb = (turn: number): PointMm => {
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    return [tip[0] - 1.8 * pen.unit * (ux * c - uy * s), tip[1] - 1.8 * pen.unit * (uy * c + ux * s)];
  };
  stroke(pen, [from, tip], false, ink);
  stroke(pen, [barb(0.45), tip, barb(-0.45)], false, ink);
}

function tileOutlines(
  pen: Pen,
  test: DarkTest,
  tester: DarkTester,
  picture: number,
  boxes: readonly TileBox[],
): void {
  const lens = tester.lens(picture);
  if (!lens) return;
  const told = new Map<string, string>();
  for (const group of test.dark)
    for (const tile of group.tiles) told.set(tile, `${tile} dark: ${group.kind} ${group.name}`);
  for (const { tile, kind, showsTile, turnedDeg } of test.tiles)
    told.set(tile, kind === "exchanged" ? `${tile} shows ${showsTile}` : kind === "turned" ? `${tile} turned ${turnedDeg === 180 ? 180 : 90}°` : `${tile} shifted`); // prettier-ignore
  for (const { name, corners } of boxes) {
    const words = told.get(name);
    if (words === undefined) continue;
    const seen = corners.map(([x, y]) => {
      const at = tester.seen(x, y);
      return toPicture(lens, at.xMm, at.yMm);
    });
    if (seen.some((p) => p === null)) continue;
    const ring = seen.map((p) => pen.at(p!.xPx, p!.yPx));
    stroke(pen, ring, true, "#ffffff", 0.6);
    const middle: PointMm = [0, 1].map((k) => ring.reduce((sum, p) => sum + p[k]!, 0) / 4) as PointMm;
    write({ pen, at: middle, words, ink: "#ffffff", size: 6 * pen.unit, align: "centre" });
  }
}

function legend(pen: Pen, test: DarkTest, heightPx: number, foot: number): void {
  const size = 5.2 * pen.unit;
  const shown = (Object.keys(MARKS) as (Verdict | "stray")[]).filter((kind) => MARKS[kind].words !== "");
  const count = (kind: Verdict | "stray") => (kind === "stray" ? test.strays.length : test.counts[kind]);
  const words = shown.map((kind) => ({ kind, words: `${MARKS[kind].words} (${count(kind)})` }));
  const half = Math.ceil(words.length / 2);
  const column =
    (420 / half) * pen.unit * (test.pictures[0]!.widthPx >= test.pictures[0]!.heightPx ? 1 : 0.75);
  const top = pen.at(0, heightPx);
  pen.items.push(line(LAYER, top, [top[0] + 420 * pen.unit, top[1]], { widthMm: 0.3 * pen.unit, grey: 0.5 }));
  words.forEach((entry, i) => {
    const x = 3 * pen.unit + (i % half) * column;
    const [, y] = pen.at(0, heightPx + (i < half ? 0.45 : 0.85) * foot);
    pen.items.push(text(LAYER, [x, y], entry.words, size * 0.8, { ink: MARKS[entry.kind].ink }));
  });
}
