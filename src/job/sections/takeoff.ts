import { z } from "zod";
import { FACTS } from "../../trade/facts.ts";
import { LIMITS } from "../limits.ts";
import { label, nonNegativeMm, number, positiveMm } from "./common.ts";

const kgPerM2 = number(LIMITS.kgPerM2);
const share = number(LIMITS.share);
const money = number(LIMITS.money);
/** Things done in an hour, or hours and minutes for one; 0 is reported, and the task left out of the sum. */
const rate = number(LIMITS.rate);

const fabricSchema = z.looseObject({
  name: label.default(""),
  rollWidthMm: positiveMm.default(FACTS.rollWidthMm.value),
  /** Taken off the roll's width. */
  selvedgeMm: nonNegativeMm.default(FACTS.selvedgeMm.value),
  /** On the back, each side; the blank is tile + 2 x (thickness + wrap). */
  wrapMm: nonNegativeMm.default(FACTS.wrapMm.value),
  /** Which way on the plan the pile runs; it lies along the roll, and no blank is ever turned. */
  pile: z.enum(["up", "across"]).default("up"),
  /** Bought on top of the cut plan. */
  waste: share.default(FACTS.fabricWaste.value),
  /** Upholstered blanks of the same roll, kept for service. */
  spareBlanks: number(LIMITS.spareBlanks).default(FACTS.spareBlanks.value),
  kgPerM2: kgPerM2.default(FACTS.fabricKgPerM2.value),
});

const gridLoadSchema = z.looseObject({
  /** Duty of the main runners, ASTM C635: 7.4, 17.9 or 23.8 kg/m on a span of 4 ft; "unknown" asks. */
  loadClass: z.enum(["unknown", "light", "intermediate", "heavy"]).default("unknown"),
  mainSpacingMm: positiveMm.default(FACTS.mainSpacingMm.value),
  /** The tile as it was. */
  tileKgPerM2: kgPerM2.default(FACTS.tileKgPerM2.value),
  adhesiveKgPerM2: kgPerM2.default(FACTS.adhesiveKgPerM2.value),
  /** Which of these somebody measured: one that says what would be assumed is no guess any more. */
  measured: z.array(z.enum(["mainSpacingMm", "tileKgPerM2"])).default([]),
});

/** The user's own take the place of ours. */
const ratesSchema = z.looseObject({
  surveyH: rate.default(FACTS.surveyH.value),
  takeDownTilesPerH: rate.default(FACTS.takeDownTilesPerH.value),
  cleanTilesPerH: rate.default(FACTS.cleanTilesPerH.value),
  /** 24 x 24 in tiles; twice the area counts as two. */
  wrapTilesPerH: rate.default(FACTS.wrapTilesPerH.value),
  wrapTilesPerHTwo: rate.default(FACTS.wrapTilesPerHTwo.value),
  templateMinPerTile: rate.default(FACTS.templateMinPerTile.value),
  templateMinPerSheet: rate.default(FACTS.templateMinPerSheet.value),
  listedMinPerHole: rate.default(FACTS.listedMinPerHole.value),
  pokeHolesPerH: rate.default(FACTS.pokeHolesPerH.value),
  threadStrandsPerH: rate.default(FACTS.threadStrandsPerH.value),
  glueDotsPerH: rate.default(FACTS.glueDotsPerH.value),
  labelMinPerTile: rate.default(FACTS.labelMinPerTile.value),
  portH: rate.default(FACTS.portH.value),
  portSPerStrand: rate.default(FACTS.portSPerStrand.value),
  rehangTilesPerH: rate.default(FACTS.rehangTilesPerH.value),
  snipEndsPerH: rate.default(FACTS.snipEndsPerH.value),
  darkTestH: rate.default(FACTS.darkTestH.value),
  /** Strands gone back to after the dark test. */
  revisited: share.default(FACTS.revisited.value),
  /** Where they come from, in the firm's words; "" = ours: common practice, no source. */
  source: label.default(""),
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
    .array(z.looseObject({ diameterMm: number(LIMITS.diameterMm), price: money }))
    .max(20)
    .default([]),
  /** Anything else: travel, platform, electrician. */
  extras: z
    .array(z.looseObject({ what: label, price: money }))
    .max(50)
    .default([]),
  contingency: share.default(0),
  taxName: label.default("VAT"),
  taxPercent: number(LIMITS.percent).default(0),
  /** How long the offer stands: days from its date, or the firm's own words; "" = a line to write on. */
  validity: z.union([number(LIMITS.offerDays), label]).default(30),
  /** Number and day of the offer, as printed; "" = a line to write on. */
  quoteNumber: label.default(""),
  quoteDate: label.default(""),
  /** One sum for the whole work, instead of a line for each part of it. */
  lumpSum: z.boolean().default(false),
  /** Paid with the order; 0 = none is asked. */
  depositPercent: number(LIMITS.percent).default(0),
  /** How and when is paid, what else holds, in the firm's words. */
  terms: z.string().max(1000).default(""),
  /** What can be had on top; not in the sum. */
  options: z
    .array(z.looseObject({ what: label, price: money }))
    .max(50)
    .default([]),
});

/** What to buy, how long it takes, what it weighs and costs. */
export const takeoffSchema = z.looseObject({
  people: z.union([z.literal(1), z.literal(2)]).default(2),
  fabric: fabricSchema.prefault({}),
  grid: gridLoadSchema.prefault({}),
  /** Finished tile that one can of spray does. */
  sprayM2PerCan: number(LIMITS.sprayM2PerCan).default(FACTS.sprayM2PerCan.value),
  /** Strands for a stick of 11 x 100 mm, tie-down dots counted in. */
  strandsPerGlueStick: number(LIMITS.strandsPerGlueStick).default(FACTS.strandsPerGlueStick.value),
  /** Only a frame or a hard back holds staples; mineral tiles are glued. */
  frame: z.boolean().default(false),
  stapleSpacingMm: positiveMm.default(FACTS.stapleSpacingMm.value),
  /** Strand wasted on ends, trimming and breaks. */
  strandWaste: share.default(FACTS.strandWaste.value),
  /** Left coiled and labelled behind each tile. */
  spareStrandsPerTile: number(LIMITS.spareStrands).default(FACTS.spareStrandsPerTile.value),
  rates: ratesSchema.prefault({}),
  prices: pricesSchema.prefault({}),
});
export type TakeoffSection = z.output<typeof takeoffSchema>;
