import { sinCosDeg } from "./exactTrig.ts";
import { brokenFile, unpack } from "./envelope.ts";
import { NO_COLOUR, type StarTable } from "./types.ts";

/**
 * A star file, in order of star number, as byte planes (all low bytes, then all middle bytes, ...), which
 * compress far better than rows:
 *   hip        3 bytes, difference to the row above, zigzag
 *   ra         3 bytes, 1e-4 degrees, difference to the row above, zigzag
 *   dec        3 bytes, 1e-4 degrees above -90
 *   magnitude  2 bytes, hundredths above -2.00
 *   colour     2 bytes, B-V in thousandths above -1.000; 0 means unknown
 * then u32 count of moving stars, and for each u32 hip, i32 RA rate times cos(dec), i32 dec rate, both in
 * hundredths of a milliarcsecond per Julian year.
 */
export const STAR_MAGIC = "VSTR";
export const PLANES = { hip: 3, ra: 3, dec: 3, magnitude: 2, colour: 2 } as const;
export const ROW_BYTES = 13;
export const MOTION_BYTES = 12;
export const MAGNITUDE_FLOOR_CENTI = -200;
export const COLOUR_FLOOR_MILLI = -1000;
const FULL_TURN = 3_600_000;
const MAS_CENTI_TO_RAD = Math.PI / 180 / 3600 / 1000 / 100;

/** Numbers from here on are not Hipparcos numbers but 1,000,000 + Henry Draper number. */
export const HD_BASE = 1_000_000;

const unzigzag = (v: number) => (v & 1 ? -((v + 1) >> 1) : v >> 1);

/** Reads a star file into columns sorted brightest first, ties by number. `file` names it in errors. */
export function readStars(bytes: Uint8Array, file: string): StarTable {
  const { count, payload } = unpack(bytes, STAR_MAGIC, file);
  const view = new DataView(payload.buffer, payload.byteOffset, payload.byteLength);
  const motionAt = count * ROW_BYTES;
  const moving = payload.length >= motionAt + 4 ? view.getUint32(motionAt, true) : -1;
  if (payload.length !== motionAt + 4 + moving * MOTION_BYTES) {
    throw brokenFile(file, `${count} stars and their motions`, `${payload.length} bytes`);
  }

  let offset = 0;
  const plane = (width: number) => {
    const column = new Int32Array(count);
    for (let b = 0; b < width; b++, offset += count) {
      for (let i = 0; i < count; i++) column[i]! |= payload[offset + i]! << (8 * b);
    }
    return column;
  };
  const hipStep = plane(PLANES.hip);
  const raStep = plane(PLANES.ra);
  const dec = plane(PLANES.dec);
  const magnitude = plane(PLANES.magnitude);
  const colour = plane(PLANES.colour);

  const order = brightestFirst(magnitude);
  const rowOf = new Int32Array(count);
  for (let row = 0; row < count; row++) rowOf[order[row]!] = row;

  const table = emptyTable(count, moving);
  let hip = 0;
  let ra = 0;
  const motionRow = new Map<number, number>();
  for (let m = 0; m < moving; m++) motionRow.set(view.getUint32(motionAt + 4 + m * MOTION_BYTES, true), m);
  const found: { row: number; entry: number; raUnits: number; decUnits: number }[] = [];
  for (let i = 0; i < count; i++) {
    hip += unzigzag(hipStep[i]!);
    ra = (ra + unzigzag(raStep[i]!) + FULL_TURN) % FULL_TURN;
    const row = rowOf[i]!;
    table.hip[row] = hip;
    table.magnitudeCenti[row] = magnitude[i]! + MAGNITUDE_FLOOR_CENTI;
    table.colourMilli[row] = colour[i] === 0 ? NO_COLOUR : colour[i]! + COLOUR_FLOOR_MILLI;
    const [sinRa, cosRa] = sinCosDeg(ra / 10000);
    const [sinDec, cosDec] = sinCosDeg(dec[i]! / 10000 - 90);
    table.x[row] = cosDec * cosRa;
    table.y[row] = cosDec * sinRa;
    table.z[row] = sinDec;
    const entry = motionRow.get(hip);
    if (entry !== undefined) found.push({ row, entry, raUnits: ra, decUnits: dec[i]! });
  }
  if (found.length !== moving) {
    throw brokenFile(file, `a star for each of ${moving} motions`, `${found.length} of them`);
  }
  found.sort((a, b) => a.row - b.row);
  found.forEach(({ row, entry, raUnits, decUnits }, m) => {
    const at = motionAt + 4 + entry * MOTION_BYTES;
    const east = view.getInt32(at + 4, true) * MAS_CENTI_TO_RAD;
    const north = view.getInt32(at + 8, true) * MAS_CENTI_TO_RAD;
    const [sinRa, cosRa] = sinCosDeg(raUnits / 10000);
    const [sinDec, cosDec] = sinCosDeg(decUnits / 10000 - 90);
    table.movingRows[m] = row;
    table.motion[3 * m] = -east * sinRa - north * sinDec * cosRa;
    table.motion[3 * m + 1] = east * cosRa - north * sinDec * sinRa;
    table.motion[3 * m + 2] = north * cosDec;
  });
  return table;
}

function emptyTable(count: number, moving: number): StarTable {
  return {
    count,
    hip: new Uint32Array(count),
    magnitudeCenti: new Int16Array(count),
    colourMilli: new Int16Array(count),
    x: new Float64Array(count),
    y: new Float64Array(count),
    z: new Float64Array(count),
    movingRows: new Uint32Array(moving),
    motion: new Float64Array(3 * moving),
  };
}

/** Indices sorted by a column of small non-negative integers; stable, so ties stay in star-number order. */
function brightestFirst(magnitude: Int32Array): Int32Array {
  const start = new Int32Array(65537);
  for (const m of magnitude) start[m + 1]!++;
  for (let m = 0; m < 65536; m++) start[m + 1]! += start[m]!;
  const order = new Int32Array(magnitude.length);
  for (let i = 0; i < magnitude.length; i++) order[start[magnitude[i]!]!++] = i;
  return order;
}

/** The compact table with the fainter stars of the deep file after it. */
export function appendFainter(bright: StarTable, faint: StarTable, file: string): StarTable {
  const last = bright.magnitudeCenti[bright.count - 1] ?? -Infinity;
  const first = faint.magnitudeCenti[0] ?? Infinity;
  if (first <= last) {
    throw brokenFile(file, `stars fainter than magnitude ${last / 100}`, `one of ${first / 100}`);
  }
  const table = emptyTable(bright.count + faint.count, bright.movingRows.length + faint.movingRows.length);
  for (const key of ["hip", "magnitudeCenti", "colourMilli", "x", "y", "z"] as const) {
    table[key].set(bright[key]);
    table[key].set(faint[key], bright.count);
  }
  table.movingRows.set(bright.movingRows);
  table.movingRows.set(
    faint.movingRows.map((row) => row + bright.count),
    bright.movingRows.length,
  );
  table.motion.set(bright.motion);
  table.motion.set(faint.motion, bright.motion.length);
  return table;
}
