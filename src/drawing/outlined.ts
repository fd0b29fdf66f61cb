import type * as fontkit from "fontkit";
import type { PointMm } from "../geometry/types.ts";
import type { Drawing, Item, TextItem } from "./drawing.ts";
import { parseFonts, type FontBytes } from "./typeface.ts";

/** Straight pieces for each curve of a letter: finer than a pixel at any size a board is shown. */
const PIECES = 6;

/**
 * The drawing with its words as filled outlines, so that a picture made of it looks the same on a machine
 * without these fonts. Letters stand at their own widths, without kerning.
 */
export function outlined(drawing: Drawing, fonts: FontBytes): Drawing {
  const { regular, bold } = parseFonts(fonts);
  const items = drawing.items.flatMap((item): Item[] => {
    if (item.kind !== "text") return [item];
    const rings = letters(item, item.bold ? bold : regular);
    const { layer, grey, ink } = item;
    if (rings.length === 0) return [];
    return [
      {
        kind: "path",
        layer,
        rings,
        closed: true,
        fillGrey: grey,
        ...(ink === undefined ? {} : { fillInk: ink }),
      },
    ];
  });
  return { ...drawing, items };
}

function letters(item: TextItem, font: fontkit.Font): PointMm[][] {
  const scale = item.sizeMm / font.unitsPerEm;
  const glyphs = [...item.text].map((letter) => font.glyphForCodePoint(letter.codePointAt(0)!));
  const width = glyphs.reduce((sum, glyph) => sum + glyph.advanceWidth, 0);
  let pen = { left: 0, centre: -width / 2, right: -width }[item.align];
  const turn = (item.turnDeg * Math.PI) / 180;
  const [cos, sin] = item.turnDeg === 0 ? [1, 0] : [Math.cos(turn), Math.sin(turn)];
  const rings: PointMm[][] = [];
  for (const glyph of glyphs) {
    for (const ring of flattened(glyph.path.commands)) {
      rings.push(
        ring.map(([x, y]): PointMm => {
          const [u, v] = [(x + pen) * scale, y * scale];
          return [item.at[0] + u * cos - v * sin, item.at[1] + u * sin + v * cos];
        }),
      );
    }
    pen += glyph.advanceWidth;
  }
  return rings;
}

/** Rings of straight pieces; TrueType's curves are quadratic, CFF's cubic. */
function flattened(commands: readonly fontkit.PathCommand[]): PointMm[][] {
  const rings: PointMm[][] = [];
  let ring: PointMm[] = [];
  for (const { command, args } of commands) {
    if (command === "closePath") continue;
    if (command === "moveTo") {
      ring = [];
      rings.push(ring);
    }
    const start = ring[ring.length - 1];
    const points: PointMm[] = [];
    for (let i = 0; i < args.length; i += 2) points.push([args[i]!, args[i + 1]!]);
    if (start === undefined || points.length === 1) ring.push(...points);
    else for (let k = 1; k <= PIECES; k++) ring.push(along([start, ...points], k / PIECES));
  }
  return rings.filter((r) => r.length > 2);
}

/** Point of a Bezier curve of any degree (de Casteljau). */
function along(points: PointMm[], t: number): PointMm {
  if (points.length === 1) return points[0]!;
  const next = points.slice(1).map(([x, y], i): PointMm => {
    const [px, py] = points[i]!;
    return [px + t * (x - px), py + t * (y - py)];
  });
  return along(next, t);
}
