import { sinCosDeg } from "../../src/sky/exactTrig.ts";

export type Vector = [number, number, number];

export function direction(raDeg: number, decDeg: number): Vector {
  const [sinRa, cosRa] = sinCosDeg(raDeg);
  const [sinDec, cosDec] = sinCosDeg(decDeg);
  return [cosDec * cosRa, cosDec * sinRa, sinDec];
}

/** Distance of two directions in seconds of arc (as a chord: exact enough below a degree). */
export function chordArcsec(a: Vector, b: Vector): number {
  return (Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) * 180 * 3600) / Math.PI;
}

export interface Nearest<T> {
  item: T;
  arcsec: number;
}

/** The item nearest to a direction. */
export function nearest<T extends { at: Vector }>(items: T[], to: Vector): Nearest<T> {
  let best: Nearest<T> | undefined;
  for (const item of items) {
    const arcsec = chordArcsec(item.at, to);
    if (!best || arcsec < best.arcsec) best = { item, arcsec };
  }
  if (!best) throw new Error("nearest: nothing to choose from");
  return best;
}
