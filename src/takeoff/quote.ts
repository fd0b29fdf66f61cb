import type { Warning } from "../job/faults.ts";
import type { TakeoffSection } from "../job/sections/takeoff.ts";
import { FOOT_M, type LengthUnits } from "../job/units.ts";
import { toMinor } from "./money.ts";
import type { Hours, OrderLine, Quote, QuoteLine, StrandFacts } from "./types.ts";
import { sparesOf } from "./order.ts";

/** A price from the user's own rates, by the metre or the foot. What has no price is left out of the sum and told of. */
export function quoteFor(
  section: TakeoffSection,
  order: readonly OrderLine[],
  hours: Hours,
  facts: StrandFacts,
  units: LengthUnits,
): { quote: Quote; warnings: Warning[] } {
  const { prices } = section;
  const { currency } = prices;
  const unpriced: string[] = [];
  const lines: QuoteLine[] = [];
  const add = (what: string, quantity: number, unit: string, each: number) => {
    if (quantity === 0) return;
    if (each === 0) {
      unpriced.push(what);
      return;
    }
    const eachMinor = toMinor(each, currency);
    lines.push({ what, quantity, unit, eachMinor, totalMinor: toMinor(each * quantity, currency) });
  };
  const addLength = (what: string, metres: number, perM: number) => {
    if (units === "ft-in") add(what, Math.ceil(Number((metres / FOOT_M).toFixed(6))), "ft", perM * FOOT_M);
    else add(what, metres, "m", perM);
  };
  const ordered = (item: string) =>
    order.filter((line) => line.item === item).reduce((sum, { quantity }) => sum + quantity, 0);
  add("labour", hours.personH, "h", prices.hour);
  const inFeet = units === "ft-in";
  add("fabric", ordered("fabric"), inFeet ? "ft" : "m", prices.fabricPerM * (inFeet ? FOOT_M : 1));
  add("spray adhesive", ordered("spray adhesive"), "cans", prices.sprayCan);
  add("hot-glue sticks", ordered("hot-glue sticks"), "sticks", prices.glueStick);
  add("staples", ordered("staples"), "staples", prices.staples);
  for (const [diameterMm, metres] of strandMetres(section, facts)) {
    const price = prices.strandPerM.find((p) => p.diameterMm === diameterMm)?.price ?? 0;
    addLength(`strand ${diameterMm} mm`, metres, price);
  }
  add("label sheets", ordered("label sheets"), "sheets", prices.labelSheet);
  add("light engines", ordered("light engines"), "pieces", prices.engine);
  prices.extras.forEach(({ what, price }, i) => {
    if (what.trim() !== "" || price > 0) add(what.trim() || `extra ${i + 1}, not named`, 1, "", price);
  });
  const sum = lines.reduce((total, { totalMinor }) => total + totalMinor, 0);
  const contingencyMinor = Math.round(Number((sum * prices.contingency).toFixed(3)));
  const netMinor = sum + contingencyMinor;
  const taxMinor = Math.round(Number(((netMinor * prices.taxPercent) / 100).toFixed(3)));
  return {
    quote: {
      currency,
      lines,
      contingencyMinor,
      netMinor,
      taxMinor,
      grossMinor: netMinor + taxMinor,
      unpriced,
    },
    warnings:
      unpriced.length === 0
        ? []
        : [
            {
              code: "no-price",
              message: `Not in the price, because nothing is set for it: ${unpriced.join(", ")}.`,
              path: "takeoff.prices",
            },
          ],
  };
}

/** Metres to buy from reels by diameter, waste and spares counted in, up to a whole metre. Kits come with engines. */
function strandMetres(
  section: TakeoffSection,
  { strands }: StrandFacts,
): [diameterMm: number, metres: number][] {
  const metres = new Map<number, number>();
  const add = (diameterMm: number, m: number) => metres.set(diameterMm, (metres.get(diameterMm) ?? 0) + m);
  for (const { diameterMm, lengthM, kit } of strands)
    if (!kit) add(diameterMm, lengthM * (1 + section.strandWaste));
  for (const { diameterMm, lengthM, count } of sparesOf(section, strands)) add(diameterMm, lengthM * count);
  return [...metres]
    .sort(([a], [b]) => a - b)
    .map(([diameterMm, m]) => [diameterMm, Math.ceil(Number(m.toFixed(6)))]);
}
