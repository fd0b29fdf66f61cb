import type { Measured } from "./measure.ts";
import { strungWords } from "../pattern/packing.ts";
import { Near, median, planeAtOrigin, scatterOf } from "./near.ts";
import type { StrandEnd } from "./places.ts";

/** Strands compared with each other. */
export const NEIGHBOURS = 24;
export const LEAST_NEIGHBOURS = 8;
export const COMPARED_WITHIN_MM = 1500;

/** The light that a place should show. */
export interface Expected {
  flux: number;
  /** Scatter of the neighbours' light, in natural logarithms. */
  scatter: number;
  sameStrand: boolean;
  /** Told by lights that are clipped: no measure of another that is. */
  rough: boolean;
}

/**
 * The light a place should show: its own share (area, loss along the strand) times what its neighbours of the same
 * strand show of theirs. Cone, distance, lens and exposure change slowly and are in the neighbours' light.
 */
export function expectedLight(
  places: readonly StrandEnd[],
  inside: readonly number[],
  measured: ReadonlyMap<number, Measured>,
  spotOf: readonly number[],
): (i: number) => Expected | null {
  const shining = inside.filter((i) => spotOf[i]! >= 0 && measured.get(i)!.flux > 0);
  const told = compared(
    shining.filter((i) => !measured.get(i)!.clipped),
    false,
  );
  // where nearly all are clipped, as holes against the sky, they tell at least what a dark one is not
  let all: typeof told | null = null;
  const known = new Map<number, Expected | null>();
  return (i) => {
    if (!known.has(i)) known.set(i, told(i) ?? (all ??= compared(shining, true))(i));
    return known.get(i)!;
  };

  function compared(lit: readonly number[], rough: boolean): (i: number) => Expected | null {
    const near = new Near(
      lit.map((i) => places[i]!.xMm),
      lit.map((i) => places[i]!.yMm),
    );
    const power = powerOf(
      lit.map((i) => ({ flux: Math.log(measured.get(i)!.flux), light: Math.log(places[i]!.light) })),
      (k) =>
        near.within(places[lit[k]!]!.xMm, places[lit[k]!]!.yMm, COMPARED_WITHIN_MM / 4).slice(1, NEIGHBOURS),
    );
    const planned = (i: number): number => places[i]!.light ** power;
    const ratio = lit.map((i) => Math.log(measured.get(i)!.flux / planned(i)));
    const words = lit.map((i) => strungWords(places[i]!.hole));
    return (i) => {
      const { xMm, yMm, hole } = places[i]!;
      const within = (mm: number) => near.within(xMm, yMm, mm).filter((k) => lit[k] !== i);
      const alike = (k: number): boolean => words[k] === strungWords(hole);
      // as a rule the nearest do, and few have to be put in order
      const close = within(COMPARED_WITHIN_MM / 4);
      const round = close.filter(alike).length < NEIGHBOURS ? within(COMPARED_WITHIN_MM) : close;
      const same = round.filter(alike);
      const sameStrand = same.length >= LEAST_NEIGHBOURS;
      const some = (sameStrand ? same : round).slice(0, NEIGHBOURS);
      if (some.length < LEAST_NEIGHBOURS) return null;
      const middle = median(some.map((k) => ratio[k]!));
      const spread = Math.max(0.1, scatterOf(some.map((k) => ratio[k]!)));
      const usual = some.filter((k) => Math.abs(ratio[k]! - middle) < 3 * spread);
      const [dx, dy] = (["xMm", "yMm"] as const).map((key) =>
        usual.map((k) => (places[lit[k]!]![key] - places[i]![key]) / COMPARED_WITHIN_MM),
      ) as [number[], number[]];
      // the cone's edge is steep: light falls off across the neighbours themselves
      const level = planeAtOrigin(dx, dy, usual.map((k) => ratio[k]!)); // prettier-ignore
      return { flux: planned(i) * Math.exp(level), scatter: spread, sameStrand, rough };
    };
  }
}

/** A strand differs from its neighbours by at least this (natural logarithm of its planned light), and so many do, to tell a picture's curve by. */
const DIFFERS = 0.2;
const LEAST_DIFFERENT = 30;
/** No picture is drawn steeper than this. */
const MOST_POWER = 3;

/**
 * By which power of the planned light a picture draws it: 1 where it is decoded as it was coded, less where a phone
 * lifts what is dark. The middle of what strands unlike their neighbours show.
 */
function powerOf(
  lit: readonly { flux: number; light: number }[],
  roundOf: (k: number) => readonly number[],
): number {
  const slopes = lit.flatMap(({ flux, light }, k) => {
    const round = roundOf(k);
    if (round.length < LEAST_NEIGHBOURS) return [];
    const usual = median(round.map((o) => lit[o]!.light));
    const alike = round.filter((o) => Math.abs(lit[o]!.light - usual) < DIFFERS / 2);
    if (alike.length < LEAST_NEIGHBOURS / 2 || Math.abs(light - usual) < DIFFERS) return [];
    return [(flux - median(alike.map((o) => lit[o]!.flux))) / (light - usual)];
  });
  return slopes.length < LEAST_DIFFERENT ? 1 : Math.min(MOST_POWER, Math.max(0, median(slopes)));
}
