import { about } from "../../job/codes.ts";
import { formatMoney } from "../../takeoff/money.ts";
import type { Takeoff } from "../../takeoff/types.ts";
import type { SheetContext } from "../context.ts";
import { PackDocument, type PackPage } from "./document.ts";

/** A quote to send: what is made, what it costs, what it leaves open, room to sign. */
export function quotePages(context: SheetContext, takeoff: Takeoff): PackPage[] {
  const { plan } = context;
  const { job, night, frame, pattern, ceiling } = plan;
  const { prices } = job.takeoff;
  const { quote, hours } = takeoff;
  const money = (minor: number) => formatMoney(minor, quote.currency);
  const doc = new PackDocument(context, "Quote");
  doc.section("Quote");
  doc.write(
    [job.firm && `From ${job.firm}`, job.client && `for ${job.client}`].filter(Boolean).join(" "),
    3.2,
  );
  const covered = ceiling.tiles.filter(({ use }) => use !== "plain").length;
  const withStars = new Set(pattern.holes.map(({ tile }) => tile)).size;
  doc.write(
    `A ceiling of ${covered} fabric-covered tiles, ${withStars} of them with ${pattern.holes.length} fibre-optic points of light, ` +
      `that show ${night.title ? `"${night.title}": ` : ""}the sky over ${frame.place.name || "the chosen place"} on ${frame.instant.localIso.slice(0, 10)} at ${frame.instant.localIso.slice(11, 16)} local time.`,
    3.2,
  );
  doc.table(
    [
      { title: "", share: 5 },
      { title: "quantity", share: 1.4, align: "right" },
      { title: "", share: 1.2 },
      { title: "each", share: 2, align: "right" },
      { title: "price", share: 2.2, align: "right", bold: true },
    ],
    quote.lines.map(({ what, quantity, unit, eachMinor, totalMinor }) => [
      what,
      String(quantity),
      unit,
      money(eachMinor),
      money(totalMinor),
    ]),
    { sizeMm: 2.9, leastRowMm: 6 },
  );
  doc.table(
    [
      { title: "", share: 9.6, align: "right" },
      { title: "", share: 2.2, align: "right", bold: true },
    ],
    [
      ...(quote.contingencyMinor > 0
        ? [
            [
              `for what can't be foreseen, ${+(prices.contingency * 100).toFixed(2)} %`,
              money(quote.contingencyMinor),
            ],
          ]
        : []),
      ["net", money(quote.netMinor)],
      [`${prices.taxName} ${prices.taxPercent} %`, money(quote.taxMinor)],
      ["to pay", money(quote.grossMinor)],
    ],
    { sizeMm: 3.1, leastRowMm: 7 },
  );
  const missing = about(takeoff.warnings, "price");
  for (const { message } of missing) doc.write(message, 2.7);
  doc.heading("What this rests on");
  for (const words of [
    `${hours.personH} person-hours, reckoned from rates for each task (${job.takeoff.rates.source}).`,
    "The sky is agreed with this quote. Another date, hour, place or direction afterwards means new templates for every tile.",
    "Work on sprinklers, alarms, air systems and mains supply is not part of it; their owners and licensed trades do it.",
    "The authority having jurisdiction, the building's owner and the insurer decide whether fabric and strand may be used in this ceiling and its void.",
    `Valid: ${prices.validity}.`,
  ])
    doc.write(`\u2022 ${words}`, 2.7);
  doc.heading("Agreed");
  doc.table(
    [
      { title: "place, date", share: 1 },
      { title: "for the client", share: 1 },
      { title: "for the firm", share: 1 },
    ],
    [["", "", ""]],
    { leastRowMm: 16 },
  );
  return doc.finish();
}
