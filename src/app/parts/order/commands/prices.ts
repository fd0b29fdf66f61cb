import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";
import { bounds, type Bounds, within } from "../../../state/commands/numbers.ts";

type Prices = Job["takeoff"]["prices"];

const money = (words: string, decimals = 3): Bounds => bounds(words, LIMITS.money, decimals);
/** So many decimals that a price by the foot comes back as it was typed. */
const PER_METRE = 6;
export const PRICE_NUMBERS = {
  hour: money("price of an hour"),
  fabricPerM: money("price of fabric", PER_METRE),
  sprayCan: money("price of a can"),
  glueStick: money("price of a stick"),
  staples: money("price of a staple"),
  labelSheet: money("price of a label sheet"),
  engine: money("price of an engine"),
  contingency: bounds("contingency", LIMITS.share, 4),
  taxPercent: bounds("tax", LIMITS.percent),
} satisfies Record<string, Bounds>;
export type PriceNumber = keyof typeof PRICE_NUMBERS;

export function setPrice(job: Job, key: PriceNumber, value: number): Edit {
  const bounds = PRICE_NUMBERS[key];
  return {
    name: `Set the ${bounds.words}`,
    job: withPrices(job, { [key]: within(bounds, value) }),
    merge: key,
  };
}

/** Price of a metre of one diameter from the reel; 0 leaves it out. */
export function priceStrand(job: Job, diameterMm: number, price: number): Edit {
  const next = within(money("price of strand", PER_METRE), price);
  const { strandPerM } = job.takeoff.prices;
  const others = strandPerM.filter((row) => row.diameterMm !== diameterMm);
  const rows = next === 0 ? others : [...others, { diameterMm, price: next }];
  return {
    name: `Set the price of ${diameterMm} mm strand`,
    job: withPrices(job, { strandPerM: rows.sort((a, b) => a.diameterMm - b.diameterMm) }),
    merge: `strand ${diameterMm}`,
  };
}

export function setCurrency(job: Job, typed: string): Edit {
  const currency = typed.trim().toUpperCase();
  if (!/^[A-Z]{3}$/.test(currency))
    throw new Refusal("A currency is three letters (ISO 4217): EUR, USD, CAD.");
  return { name: `Price in ${currency}`, job: withPrices(job, { currency }) };
}

export function wordPrices(job: Job, details: Partial<Pick<Prices, "taxName" | "validity">>): Edit {
  const name = details.taxName === undefined ? "Set how long the offer is valid" : "Name the tax";
  return { name, job: withPrices(job, details) };
}

type QuoteWords = "quoteNumber" | "quoteDate" | "terms" | "lumpSum" | "depositPercent" | "options";

/** What stands on the quote besides its prices. */
export function describeQuote(job: Job, details: Partial<Pick<Prices, QuoteWords>>): Edit {
  return { name: "Change the quote", job: withPrices(job, details) };
}

export function addExtra(job: Job): Edit {
  const { extras } = job.takeoff.prices;
  if (extras.length >= 50) throw new Refusal("At most 50 extras.");
  return { name: "Add an extra", job: withPrices(job, { extras: [...extras, { what: "", price: 0 }] }) };
}

export function setExtra(
  job: Job,
  index: number,
  change: Partial<Pick<Prices["extras"][number], "what" | "price">>,
): Edit {
  const { extras } = job.takeoff.prices;
  const extra = extras[index];
  if (!extra) throw new Refusal("That extra is no longer in the price.");
  const price = within(money("price"), change.price ?? extra.price);
  return {
    name: "Change an extra",
    job: withPrices(job, { extras: extras.with(index, { ...extra, ...change, price }) }),
    merge: `extra ${index} ${Object.keys(change).join()}`,
  };
}

export function removeExtra(job: Job, index: number): Edit {
  const { extras } = job.takeoff.prices;
  return { name: "Remove an extra", job: withPrices(job, { extras: extras.toSpliced(index, 1) }) };
}

function withPrices(job: Job, change: Partial<Prices>): Job {
  return { ...job, takeoff: { ...job.takeoff, prices: { ...job.takeoff.prices, ...change } } };
}
