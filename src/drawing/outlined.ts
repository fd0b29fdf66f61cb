import type * as fontkit from "fontkit";
import type { PointMm } from "../geometry/types.ts";
import type { Drawing, Item, TextItem } from "./drawing.ts";
import { isPlain, runsOf } from "./runs.ts";
import { parseFonts, type FontBytes, type Fonts } from "./typeface.ts";

/** Straight pieces for each curve of a letter: finer than a pixel at any size a board is shown. */
const PIECES = 6;

/**
 * The drawing with its words as filled outlines, so that a picture made of it looks the same on a machine
 * without these fonts. Letters of plain text stand at their own widths, without kerning.
 */
export function outlined(drawing: Drawing, fonts: FontBytes): Drawing {
  const parsed = parseFonts(fonts);
  const items = drawing.items.flatMap((item): Item[] => {
    if (item.kind !== "text") return [item];
    const rings = letters(item, parsed);
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

function letters(item: TextItem, fonts: Fonts): PointMm[][] {
  const placed = glyphsOf(item, fonts);
  const shift = { left: 0, centre: -placed.widthMm / 2, right: -placed.widthMm }[item.align];
  const turn = (item.turnDeg * Math.PI) / 180;
  const [cos, sin] = item.turnDeg === 0 ? [1, 0] : [Math.cos(turn), Math.sin(turn)];
  return placed.glyphs.flatMap(({ glyph, xMm, yMm, scale }) =>
    flattened(glyph.path.commands).map((ring) =>
      ring.map(([x, y]): PointMm => {
        const [u, v] = [x * scale + xMm + shift, y * scale + yMm];
        return [item.at[0] + u * cos - v * sin, item.at[1] + u * sin + v * cos];
      }),
    ),
  );
}

interface PlacedGlyph {
  glyph: fontkit.Glyph;
  xMm: number;
  yMm: number;
  scale: number;
}

/** Letters of plain text stand at their own widths, others as their script joins them. */
function glyphsOf(
  { text, sizeMm, bold }: TextItem,
  fonts: Fonts,
): { glyphs: PlacedGlyph[]; widthMm: number } {
  const glyphs: PlacedGlyph[] = [];
  let pen = 0;
  for (const { font, text: part } of runsOf(text, bold ? "bold" : "regular", fonts)) {
    const scale = sizeMm / font.unitsPerEm;
    const laid = isPlain(text) ? null : font.layout(part, []);
    const own = laid?.glyphs ?? [...part].map((letter) => font.glyphForCodePoint(letter.codePointAt(0)!));
    own.forEach((glyph, i) => {
      const { xAdvance, xOffset, yOffset } = laid?.positions[i] ?? {
        xAdvance: glyph.advanceWidth,
        xOffset: 0,
        yOffset: 0,
      };
      glyphs.push({ glyph, xMm: pen + xOffset * scale, yMm: yOffset * scale, scale });
      pen += xAdvance * scale;
    });
  }
  return { glyphs, widthMm: pen };
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
