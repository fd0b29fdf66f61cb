import type { PointMm } from "../geometry/types.ts";

/**
 * A drawing that knows no file format: millimetres on the sheet, origin at its lower left corner, y up.
 * The writers (pdf.ts, svg.ts, dxf.ts) turn it into bytes, so each template is laid out once.
 * Items are painted in order.
 */
export interface Drawing {
  title: string;
  widthMm: number;
  heightMm: number;
  items: Item[];
  /** Where the zero of the drawn thing lies on the sheet: DXF counts from there. */
  zeroMm: PointMm;
}

export type Item = PathItem | CircleItem | TextItem | ImageItem;

/** A colour as #rrggbb, in the place of a grey: for boards and other pages that are shown, not punched from. */
export type Ink = `#${string}`;

/** A picture; PNG or JPEG bytes. DXF leaves it out. */
export interface ImageItem {
  kind: "image";
  layer: string;
  /** Its lower left corner. */
  at: PointMm;
  widthMm: number;
  heightMm: number;
  bytes: Uint8Array;
}

/** Grey 0 is black, 1 is white. */
export interface Stroke {
  widthMm: number;
  grey: number;
  ink?: Ink;
  dashMm?: number[];
}

export interface PathItem {
  kind: "path";
  layer: string;
  /** Several rings are filled by the even-odd rule. */
  rings: PointMm[][];
  closed: boolean;
  stroke?: Stroke;
  fillGrey?: number;
  fillInk?: Ink;
}

export interface CircleItem {
  kind: "circle";
  layer: string;
  centre: PointMm;
  radiusMm: number;
  stroke?: Stroke;
  fillGrey?: number;
  fillInk?: Ink;
}

export interface TextItem {
  kind: "text";
  layer: string;
  /** On the baseline: its left end, middle or right end. */
  at: PointMm;
  text: string;
  /** Em size. Capitals are 0.73 of it. */
  sizeMm: number;
  bold: boolean;
  align: "left" | "centre" | "right";
  grey: number;
  ink?: Ink;
  /** Counter-clockwise. */
  turnDeg: number;
}

/** Height of capitals over em size, DejaVu Sans (OS/2 sCapHeight 1493 of 2048). */
export const CAP_HEIGHT = 0.729;

/** Line weights in mm: ISO 128-2 series, the finest one a cheap 600 dpi laser still draws. */
export const WEIGHT = { hair: 0.13, thin: 0.18, medium: 0.25, thick: 0.5, heavy: 0.7 } as const;

/** Greys that stay apart on a cheap laser. */
export const GREY = { black: 0, dark: 0.25, mid: 0.45, light: 0.7, wash: 0.9, white: 1 } as const;

export function line(layer: string, from: PointMm, to: PointMm, stroke: Stroke): PathItem {
  return { kind: "path", layer, rings: [[from, to]], closed: false, stroke };
}

export function rectangle(
  layer: string,
  [x, y]: PointMm,
  [width, height]: [widthMm: number, heightMm: number],
  look: Pick<PathItem, "stroke" | "fillGrey" | "fillInk">,
): PathItem {
  const ring: PointMm[] = [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ];
  return { kind: "path", layer, rings: [ring], closed: true, ...look };
}

export function text(
  layer: string,
  at: PointMm,
  words: string,
  sizeMm: number,
  look: Partial<Pick<TextItem, "bold" | "align" | "grey" | "ink" | "turnDeg">> = {},
): TextItem {
  return {
    kind: "text",
    layer,
    at,
    text: words,
    sizeMm,
    bold: false,
    align: "left",
    grey: 0,
    turnDeg: 0,
    ...look,
  };
}
