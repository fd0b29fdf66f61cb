import { z } from "zod";
import { LIMITS } from "../limits.ts";
import { label, nonNegativeMm, number, pointMm } from "./common.ts";
import { FACTS } from "../../trade/facts.ts";

export const strandsSchema = z.looseObject({
  stock: z
    .array(z.looseObject({ diameterMm: number(LIMITS.diameterMm), count: number(LIMITS.stockCount) }))
    .min(1)
    .max(20),
  /** Strands to use; null = all in stock. */
  use: number(LIMITS.strandsUsed).nullable().default(null),
  /** Strands packed into one hole, at most: what makes bright stars bright. 1 = one strand in every hole. */
  mostPerHole: number(LIMITS.strandsPerHole).default(7),
  /** Largest hole that fabric and tile take cleanly (common practice, no source: try it on an offcut). */
  largestHoleMm: number(LIMITS.holeMm).default(6),
  /**
   * How strongly magnitudes are compressed: light of a hole goes with the star's true light to this power. 1 = true
   * steps; null = from the brightest star and the fullest hole to the faintest star and the thinnest strand.
   */
  lightExponent: number(LIMITS.lightExponent).nullable().default(null),
  /** Attenuation of a strand. */
  lossDbPerM: number(LIMITS.lossDbPerM).default(FACTS.lossDbPerM.value),
  /** Numerical aperture: sets the half-angle of the light cone, asin(NA). */
  numericalAperture: number(LIMITS.numericalAperture).default(FACTS.numericalAperture.value),
});

/** A star of the sky by its number in the catalogue (Hipparcos, or 1,000,000 + HD where it has none), or a body by name. */
export const skyObject = z.union([
  number(LIMITS.starNumber),
  z.enum(["moon", "mercury", "venus", "mars", "jupiter", "saturn"]),
]);
export type SkyObjectId = z.output<typeof skyObject>;

/** Strands that a person chose for a hole; without a diameter the ladder of brightness decides. */
const strung = {
  diameterMm: number(LIMITS.diameterMm).optional(),
  /** With a diameter: how many strands of it; 1 where nothing is said. */
  strands: number(LIMITS.strandsPerHole).optional(),
};

/** What a person decided by hand; it survives every re-plan, and is reported when it no longer fits. */
export const byHandSchema = z.discriminatedUnion("do", [
  z.looseObject({
    do: z.literal("pin"),
    what: skyObject,
    /** The sky (sky.options[].id) it was pinned in; in another one it doesn't apply. */
    night: z.string().min(1).max(60),
    /** From where that sky puts it. Either this or atMm. */
    offsetMm: pointMm.optional(),
    /** A place on the plan, as older jobs have it. */
    atMm: pointMm.optional(),
    ...strung,
  }),
  z.looseObject({ do: z.literal("omit"), what: skyObject, why: label.default("") }),
  z.looseObject({
    do: z.literal("add"),
    atMm: pointMm,
    ...strung,
    name: label.default(""),
  }),
]);
export type ByHand = z.output<typeof byHandSchema>;

export const patternSchema = z.looseObject({
  seed: number(LIMITS.seed).default(1),
  /** Smallest distance between holes. */
  spacingMm: number(LIMITS.spacingMm).default(FACTS.spacingMm.value),
  /** How far a star may be moved: faint ones, and bright (V <= 3) or figure-making ones. */
  reachMm: nonNegativeMm.default(25),
  brightReachMm: nonNegativeMm.default(90),
  /** 0 = the true sky, one limit everywhere; 1 = as many strands in every tile. */
  evenness: number(LIMITS.share).default(0),
  /** The limit of brightness; stars beyond it take what strands are left. null = as deep as the strands last. */
  faintestMagnitude: number(LIMITS.faintestMagnitude).nullable().default(null),
  /** Holes of the total set aside for still fainter stars, drawn by chance along the Milky Way, 0 to 1. */
  deeperShare: number(LIMITS.share).default(0.2),
  /** How strongly those follow the Milky Way: 0 as the catalogue has them, 1 wholly. */
  milkyWay: number(LIMITS.share).default(0.85),
  /** No star much fainter comes nearer than this to a star of a constellation that matters. */
  airMm: number(LIMITS.airMm).default(30),
  byHand: z.array(byHandSchema).max(5000).default([]),
});
