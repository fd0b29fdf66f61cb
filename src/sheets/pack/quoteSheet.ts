import { validityWords } from "../../job/codeWords.ts";
import { clockAndPass, dateWords, typedDate } from "../../job/writtenTime.ts";
import { passOf } from "../../choose/words.ts";
import { holdsOf } from "../../ceiling/holds.ts";
import { stopQuestions } from "../../job/stops.ts";
import { formatMoney, toMinor } from "../../takeoff/money.ts";
import type { Quote, Takeoff } from "../../takeoff/types.ts";
import type { SheetContext } from "../context.ts";
import { brightMoves, fillerWords, handWords, skyWords } from "../told.ts";
import { BLANK, PackDocument, TICK, type PackPage } from "./document.ts";

/** Lines of the price list that a client reads as one: nobody buys staples and label sheets from us. */
const SMALL_MATERIALS = new Set(["spray adhesive", "hot-glue sticks", "staples", "label sheets"]);

/** A quote to send: what is made, what it costs, what it leaves open, room to sign. Without prices it is a draft. */
export function quotePages(context: SheetContext, takeoff: Takeoff): PackPage[] {
  const { plan } = context;
  const { job, night, frame, pattern, ceiling } = plan;
  const { prices } = job.takeoff;
  const { quote } = takeoff;
  const money = (minor: number) => formatMoney(minor, quote.currency);
  const doc = new PackDocument(context, "Quote");
  const draft = quote.netMinor === 0;
  doc.section(draft ? "Quote: a draft without prices" : "Quote");
  doc.logo();
  doc.table(
    [
      { title: "", share: 1.4 },
      { title: "", share: 3, bold: true },
      { title: "", share: 1.4 },
      { title: "", share: 3, bold: true },
    ],
    [
      ["for", job.client || BLANK, "quote no.", prices.quoteNumber || BLANK],
      ["from", job.firm || BLANK, "date", typedDate(prices.quoteDate, frame.instant.zone) || BLANK],
      ...(job.firmAddress || job.firmTaxNumber
        ? [["", job.firmAddress, job.firmTaxNumber ? `${prices.taxName} no.` : "", job.firmTaxNumber]]
        : []),
      [
        "room",
        job.room || BLANK,
        "valid",
        prices.validity === "" ? BLANK : `${validityWords(prices.validity)} from its date`,
      ],
    ],
    { sizeMm: 2.9, leastRowMm: 6.5 },
  );
  const covered = ceiling.tiles.filter(({ use }) => use !== "plain").length;
  const withStars = new Set(pattern.holes.map(({ tile }) => tile)).size;
  doc.write(
    `A ceiling of ${covered} fabric-covered tiles, ${withStars} of them with ${pattern.holes.length} fibre-optic points of light: ${skyWords(plan)} ` +
      `of ${night.title ? `"${night.title}", ` : ""}the sky over ${frame.place.name || "the place of the night"} on ${dateWords(frame.instant.localIso, frame.instant.zone)} at ${clockAndPass(frame.instant.localIso, frame.instant.zone, passOf(night.moment))} local time${fillerWords(plan)}.`,
    3.2,
  );
  const byHand = [...handWords(plan), brightMoves(plan)].filter((words) => words !== "");
  if (byHand.length > 0) doc.write(byHand.join(" "), 2.7);
  if (draft) {
    doc.write("No price is set yet: this page is no offer and can't be signed.", 3.4, { bold: true });
    return doc.finish();
  }
  doc.heading("Price");
  doc.table(
    [
      { title: "", share: 9.6 },
      { title: "", share: 2.4, align: "right", bold: true },
    ],
    [
      ...clientLines(quote, prices.lumpSum).map(([what, minor]) => [what, money(minor)]),
      ["net", money(quote.netMinor)],
      [`${prices.taxName} ${prices.taxPercent} %`, money(quote.taxMinor)],
      ["to pay", money(quote.grossMinor)],
    ],
    { sizeMm: 3, leastRowMm: 6.4 },
  );
  if (quote.unpriced.length > 0)
    doc.write(`Not in the price: ${[...new Set(quote.unpriced.map(clientWords))].join(", ")}.`, 2.7);
  const options = prices.options.filter(({ what }) => what.trim() !== "");
  if (options.length > 0) {
    doc.heading("Optional, without tax; tick what is wanted");
    doc.table(
      [
        { title: "", share: 0.6, align: "centre" },
        { title: "", share: 9 },
        { title: "", share: 2.4, align: "right" },
      ],
      options.map(({ what, price }) => [TICK, what, money(toMinor(price, quote.currency))]),
      { sizeMm: 2.9, leastRowMm: 6 },
    );
  }
  doc.heading("What this rests on");
  const deposit = Math.round(Number(((quote.grossMinor * prices.depositPercent) / 100).toFixed(3)));
  for (const words of [
    ...(deposit > 0
      ? [`With the order ${money(deposit)} (${prices.depositPercent} %), the rest on handing over.`]
      : []),
    ...(prices.terms.trim() === "" ? [] : [prices.terms]),
    "The sky is agreed with this quote. Another date, hour, place or direction afterwards means new templates for every tile.",
    "Work on sprinklers, alarms, air systems and mains supply is not part of it; their owners and licensed trades do it.",
    "The authority having jurisdiction, the building's owner and the insurer decide whether fabric and strand may be used in this ceiling and its void.",
    ...stopQuestions(job).map(({ words }) => `Open, and to be settled before work begins: ${words}`),
    ...holdsOf(ceiling).map(
      ({ name, tiles, why, state }) =>
        `${state === "refused" ? "Not agreed" : "Open"}: ${name} (${tiles.join(", ")}): ${why}.`,
    ),
  ])
    doc.write(`\u2022 ${words}`, 2.7);
  doc.together(34);
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

const clientWords = (what: string): string => {
  if (SMALL_MATERIALS.has(what)) return "glue and small materials";
  return what.startsWith("strand ") ? "fibre-optic strand" : what;
};

/** What a client pays for, in the order of the price list: small materials as one, or all in one sum. */
function clientLines(quote: Quote, lumpSum: boolean): [what: string, minor: number][] {
  if (lumpSum) return [["the ceiling as described, made and fitted", quote.netMinor]];
  const lines = new Map<string, number>();
  const add = (what: string, minor: number) => lines.set(what, (lines.get(what) ?? 0) + minor);
  for (const { what, totalMinor } of quote.lines) add(clientWords(what), totalMinor);
  if (quote.contingencyMinor > 0) add("for what can't be foreseen", quote.contingencyMinor);
  return [...lines];
}
