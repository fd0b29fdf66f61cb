import { FOOT_M, type LengthUnits } from "../../job/units.ts";
import type { Bundles } from "../../bundles/types.ts";
import { formatMoney } from "../../takeoff/money.ts";
import type { Takeoff } from "../../takeoff/types.ts";
import { csvText } from "../tables.ts";

/** RFC 4180, as holes.csv. */
const csv = (head: string, rows: readonly (readonly (string | number | null)[])[]): string =>
  [
    head,
    ...rows.map((row) =>
      row.map((cell) => (typeof cell === "string" ? csvText(cell) : (cell ?? ""))).join(","),
    ),
  ]
    .map((record) => `${record}\r\n`)
    .join("");

/** Every strand: its hole, engine, length, loss, place at the common end. */
export function strandsCsv({ strands }: Bundles, numberOf: ReadonlyMap<number, number>): string {
  return csv(
    "hole,tile,number,engine,tail,diameter_mm,length_m,needs_m,loss_mag,channel,wheel_deg",
    strands.map((s) => [s.hole, s.tile, numberOf.get(s.hole) ?? null, s.engine, `${s.engine}-${s.tile}`, s.diameterMm, s.lengthM, s.needM, s.lossMag, s.channel, s.wheelDeg]), // prettier-ignore
  );
}

/** Every tail by diameter and length. */
export function tailsCsv({ tails }: Bundles): string {
  return csv(
    "tail,tile,engine,diameter_mm,length_m,strands,run_m,needs_m,bend_radius_mm",
    tails.flatMap(
      (t) =>
      t.lots.map((lot) => [t.name, t.tile, t.engine, lot.diameterMm, lot.lengthM, lot.count, t.routeM, t.needM, t.bendRadiusMm]), // prettier-ignore
    ),
  );
}

/** The foot by the international agreement of 1959. */

/** What to order, for the shop; metres in whole feet where the job is in feet and inches. */
export function orderCsv({ order }: Takeoff, units: LengthUnits): string {
  const feet = units === "ft-in";
  return csv(
    "item,detail,quantity,unit,source",
    order.map(({ item, detail, quantity, unit, source }) =>
      feet && unit === "m"
        ? [item, detail, Math.ceil(Number((quantity / FOOT_M).toFixed(6))), "ft", source]
        : [item, detail, quantity, unit, source],
    ),
  );
}

/** The quote's lines, for a spreadsheet. */
export function quoteCsv({ quote }: Takeoff): string {
  const money = (minor: number) => formatMoney(minor, quote.currency).replace(/\u00A0/g, " ");
  return csv("what,quantity,unit,each,price", [
    ...quote.lines.map((l) => [l.what, l.quantity, l.unit, money(l.eachMinor), money(l.totalMinor)]),
    ["contingency", null, "", "", money(quote.contingencyMinor)],
    ["net", null, "", "", money(quote.netMinor)],
    ["tax", null, "", "", money(quote.taxMinor)],
    ["to pay", null, "", "", money(quote.grossMinor)],
  ]);
}
