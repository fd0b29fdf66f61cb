import { stepsAt, WHITE, type Light } from "./picture.ts";

/** What is behind the spots: light and its scatter, slowly changing over the picture. */
export interface Background {
  cell: number;
  columns: number;
  rows: number;
  /** By cell, row by row. */
  level: Float32Array;
  /** Standard deviation of the smoothed picture round the level. */
  noise: Float32Array;
}

/** Side of a cell in pixels: many spots wide, so that its median is background, and small beside a room's glow. */
const CELL_PX = 64;
const STRIDE = 3;
/** Half the step of an 8-bit picture in its darkest part, in light: a picture coded black has no less noise. */
const LEAST_NOISE = 0.5 / 255 / 12.92;
/** And half a step in its brighter parts is about this part of the light. */
const LEAST_SHARE = 0.005;
/** Standard deviation over median absolute deviation, normal distribution. */
const MAD_TO_SIGMA = 1.4826;

/** Of a smoothed picture: twice the steps of light, so that smoothing keeps what it gains. */
export const SMOOTH_WHITE = 2 * WHITE;

/** The picture blurred by the binomial 1 4 6 4 1 both ways (standard deviation one pixel): what spots are sought in. */
export function smoothed({ widthPx, heightPx, light }: Light): Uint16Array {
  const out = new Uint16Array(light.length);
  const rows = Array.from({ length: 5 }, () => new Int32Array(widthPx));
  const line = (y: number, into: Int32Array): void => {
    const from = Math.min(heightPx - 1, Math.max(0, y)) * widthPx;
    const at = (x: number) => stepsAt(light[from + Math.min(widthPx - 1, Math.max(0, x))]!);
    let [a, b, c, d] = [at(-2), at(-1), at(0), at(1)];
    for (let x = 0; x < widthPx; x++) {
      const e = x + 2 < widthPx ? stepsAt(light[from + x + 2]!) : at(x + 2);
      into[x] = a + e + 4 * (b + d) + 6 * c;
      a = b;
      b = c;
      c = d;
      d = e;
    }
  };
  for (let y = -2; y < 2; y++) line(y, rows[(y + 5) % 5]!);
  for (let y = 0; y < heightPx; y++) {
    line(y + 2, rows[(y + 2) % 5]!);
    const [a, b, c, d, e] = [-2, -1, 0, 1, 2].map((k) => rows[(y + k + 5) % 5]!) as Int32Array[];
    const from = y * widthPx;
    // the weights come to 256; half a step is added to round
    for (let x = 0; x < widthPx; x++)
      out[from + x] = (a![x]! + e![x]! + 4 * (b![x]! + d![x]!) + 6 * c![x]! + 64) >> 7;
  }
  return out;
}

/** Median light of each cell, made steady by its neighbours, and the scatter of what is left. */
export function measureBackground(image: Uint16Array, widthPx: number, heightPx: number): Background {
  const columns = Math.max(1, Math.round(widthPx / CELL_PX));
  const rows = Math.max(1, Math.round(heightPx / CELL_PX));
  const cellOf = (value: (i: number, x: number, y: number) => number): Float32Array => {
    const out = new Float32Array(columns * rows);
    const samples = new Float32Array((Math.ceil(CELL_PX / STRIDE) * 2) ** 2);
    for (let r = 0; r < rows; r++)
      for (let c = 0; c < columns; c++) {
        let n = 0;
        const x1 = Math.floor(((c + 1) * widthPx) / columns);
        const y1 = Math.floor(((r + 1) * heightPx) / rows);
        for (let y = Math.floor((r * heightPx) / rows); y < y1; y += STRIDE)
          for (let x = Math.floor((c * widthPx) / columns); x < x1; x += STRIDE)
            if (n < samples.length) samples[n++] = value(y * widthPx + x, x, y);
        out[r * columns + c] = samples.subarray(0, n).sort()[n >> 1]!;
      }
    return out;
  };
  const grid = { cell: CELL_PX, columns, rows };
  const level = steady(
    cellOf((i) => image[i]! / SMOOTH_WHITE),
    columns,
    rows,
  );
  const sized = { ...grid, level, noise: level };
  const scatter = cellOf((i, x, y) =>
    Math.abs(image[i]! / SMOOTH_WHITE - valueAt(sized, level, x, y, widthPx, heightPx)),
  );
  const noise = steady(scatter, columns, rows).map((s, i) =>
    Math.max(LEAST_NOISE, LEAST_SHARE * level[i]!, MAD_TO_SIGMA * s),
  );
  return { ...grid, level, noise };
}

/** Each cell the median of itself and its eight neighbours: a lamp in one cell does not count. */
function steady(values: Float32Array, columns: number, rows: number): Float32Array {
  return values.map((_, i) => {
    const [x, y] = [i % columns, Math.floor(i / columns)];
    const near: number[] = [];
    for (let r = Math.max(0, y - 1); r <= Math.min(rows - 1, y + 1); r++)
      for (let c = Math.max(0, x - 1); c <= Math.min(columns - 1, x + 1); c++)
        near.push(values[r * columns + c]!);
    near.sort((a, b) => a - b);
    return near[near.length >> 1]!;
  });
}

/** A cell grid between its cells' middles, evenly blended. */
// eslint-disable-next-line max-params -- called in the inner loop
export function valueAt(
  { columns, rows }: Pick<Background, "columns" | "rows">,
  values: Float32Array,
  x: number,
  y: number,
  widthPx: number,
  heightPx: number,
): number {
  const u = Math.min(columns - 1, Math.max(0, ((x + 0.5) * columns) / widthPx - 0.5));
  const v = Math.min(rows - 1, Math.max(0, ((y + 0.5) * rows) / heightPx - 0.5));
  const c = Math.min(columns - 2, Math.floor(u));
  const r = Math.min(rows - 2, Math.floor(v));
  const [c0, r0] = [Math.max(0, c), Math.max(0, r)];
  const [c1, r1] = [Math.min(columns - 1, c0 + 1), Math.min(rows - 1, r0 + 1)];
  const [p, q] = [u - c0, v - r0];
  const top = values[r0 * columns + c0]! * (1 - p) + values[r0 * columns + c1]! * p;
  const foot = values[r1 * columns + c0]! * (1 - p) + values[r1 * columns + c1]! * p;
  return top * (1 - q) + foot * q;
}
