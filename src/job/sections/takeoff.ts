import { z } from "zod";
import { label, nonNegativeMm, positiveMm } from "./common.ts";

const CP = "common practice, no source";
const kgPerM2 = z.number().min(0).max(100);
const share = z.number().min(0).max(1);
const money = z.number().min(0).max(1e9);
/** Things done in an hour, or hours and minutes for one; 0 is reported, and the task left out of the sum. */
const rate = z.number().min(0).max(10_000);

const fabricSchema = z.looseObject({
  name: label.default(""),
  /** 1372 (54 in), 1473 (58 in), 1524 (60 in), 1400, 1500 mm are usual (TRADE 5). */
  rollWidthMm: positiveMm.default(1524),
  /** Taken off the roll's width (TRADE 5, common practice). */
  selvedgeMm: nonNegativeMm.default(25),
  /** On the back, each side; the blank is tile + 2 x (thickness + wrap) (TRADE 5). */
  wrapMm: nonNegativeMm.default(50),
  /** Which way on the plan the pile runs; it lies along the roll, and no blank is ever turned. */
  pile: z.enum(["up the plan", "across the plan"]).default("up the plan"),
  /** Bought on top of the cut plan: 10 % tidy, 15 % with border tiles (TRADE 5, common practice). */
  waste: share.default(0.1),
  /** Upholstered blanks of the same roll, kept for service: 2-4 (TRADE 1c and 5). */
  spareBlanks: z.int().min(0).max(100).default(2),
  kgPerM2: kgPerM2.default(0.28),
});

const gridLoadSchema = z.looseObject({
  /** Duty of the main runners, ASTM C635: 7.4, 17.9 or 23.8 kg/m on a span of 4 ft; "unknown" asks. */
  loadClass: z.enum(["unknown", "light", "intermediate", "heavy"]).default("unknown"),
  mainSpacingMm: positiveMm.default(1219.2),
  /** The tile as it was: mineral fibre 3-6.5 (TRADE 1c, from memory: weigh one). */
  tileKgPerM2: kgPerM2.default(4.5),
  adhesiveKgPerM2: kgPerM2.default(0.075),
});

/** TRADE 5, "Labour thumb rates": all common practice, no source; the user's own take their place. */
const ratesSchema = z.looseObject({
  surveyH: rate.default(3),
  takeDownTilesPerH: rate.default(25),
  cleanTilesPerH: rate.default(15),
  /** 24 x 24 in tiles; twice the area counts as two. */
  wrapTilesPerH: rate.default(5),
  wrapTilesPerHTwo: rate.default(9),
  templateMinPerTile: rate.default(10),
  pokeHolesPerH: rate.default(90),
  threadStrandsPerH: rate.default(80),
  glueDotsPerH: rate.default(150),
  labelMinPerTile: rate.default(12.5),
  portH: rate.default(1.5),
  portSPerStrand: rate.default(15),
  rehangTilesPerH: rate.default(10),
  snipEndsPerH: rate.default(300),
  darkTestH: rate.default(3),
  /** Strands gone back to after the dark test. */
  revisited: share.default(0.05),
  source: label.default(CP),
});

const pricesSchema = z.looseObject({
  /** ISO 4217. */
  currency: z
    .string()
    .regex(/^[A-Z]{3}$/, "three capital letters, as EUR, USD, CAD")
    .default("EUR"),
  hour: money.default(0),
  fabricPerM: money.default(0),
  sprayCan: money.default(0),
  glueStick: money.default(0),
  staples: money.default(0),
  labelSheet: money.default(0),
  engine: money.default(0),
  /** By diameter; strands of a kit that is paid with the engine cost 0. */
  strandPerM: z
    .array(z.looseObject({ diameterMm: z.number().min(0.1).max(10), price: money }))
    .max(20)
    .default([]),
  /** Anything else: travel, platform, electrician. */
  extras: z
    .array(z.looseObject({ what: label, price: money }))
    .max(50)
    .default([]),
  contingency: share.default(0),
  taxName: label.default("VAT"),
  taxPercent: z.number().min(0).max(100).default(0),
  /** How long the offer stands, in words; printed on the quote. */
  validity: label.default("30 days"),
});

/** What to buy, how long it takes, what it weighs and costs. */
export const takeoffSchema = z.looseObject({
  people: z.union([z.literal(1), z.literal(2)]).default(2),
  fabric: fabricSchema.prefault({}),
  grid: gridLoadSchema.prefault({}),
  /** Finished tile that one can of spray does: 2-3 m2 (TRADE 5, common practice). */
  sprayM2PerCan: z.number().positive().max(100).default(2.5),
  /** Strands for a stick of 11 x 100 mm, tie-down dots counted in (TRADE 5). */
  strandsPerGlueStick: z.number().positive().max(10_000).default(50),
  /** Only a frame or a hard back holds staples; mineral tiles are glued (TRADE 5). */
  frame: z.boolean().default(false),
  stapleSpacingMm: positiveMm.default(38),
  /** Strand lost to ends, trimming and breaks: 10-15 % (TRADE 5, common practice). */
  strandWaste: share.default(0.12),
  /** Left coiled and labelled behind each tile: 1-2 (TRADE 5, common practice). */
  spareStrandsPerTile: z.int().min(0).max(50).default(1),
  rates: ratesSchema.prefault({}),
  prices: pricesSchema.prefault({}),
});
export type TakeoffSection = z.output<typeof takeoffSchema>;
