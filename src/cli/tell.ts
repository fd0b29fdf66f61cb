import type { Bundles } from "../bundles/types.ts";
import type { Fault } from "../job/faults.ts";
import type { Takeoff } from "../takeoff/types.ts";
import { metresInWords, muchInWords, weightUnits, type LengthUnits } from "../job/units.ts";
import { formatMoney } from "../takeoff/money.ts";
import { EXIT, type Shell } from "./shell.ts";

/** Faults that left the rest standing: said one by one; the command then ends with "can't be done as asked". */
export function tellFaults(faults: readonly Fault[], shell: Shell): void {
  if (!shell.json)
    for (const { path, expected, got, next } of faults)
      shell.warn([{ code: "fault", message: `${got}\n  expected ${expected}\n  ${next}`, path }]);
}

/** Exit code of a command that did all it could. Called after `runCommand`, which knows of no half. */
export function exitWith(faults: readonly Fault[]): void {
  if (faults.length > 0 && process.exitCode === EXIT.done) process.exitCode = EXIT.cannotDo;
}

/** Engines and how they were found, in a few lines. */
export function tellBundles(bundles: Bundles, units: LengthUnits, shell: Shell): void {
  const { allotment, engines } = bundles;
  for (const e of engines) {
    const fill = `${(e.portFill * 100).toFixed(0)} % of the port (${(e.portLimit * 100).toFixed(0)} % at most)`;
    shell.say(
      `  ${e.letter}: ${e.strands} of ${e.capacity} strands, ${e.tiles.length} tiles, ${fill}, ` +
        `longest ${metresInWords(e.longestM, units)}, runs ${metresInWords(e.runM, units)}`,
    );
  }
  if (engines.length === 0) return;
  const gap =
    allotment.way === "as issued" ? "" : `, proven within ${(allotment.gap * 100).toFixed(3)} % of the best`;
  const split =
    allotment.splitTiles.length > 0 ? `; split: ${allotment.splitTiles.join(", ")}` : "; no tile split";
  shell.say(`  ${muchInWords(allotment.strandM, units)} of strand, ${allotment.way}${gap}${split}`);
  if (bundles.unlit.length > 0) shell.say(`  ${bundles.unlit.length} holes have no strand.`);
}

/** Fabric, hours and price in a few lines. */
export function tellTakeoff(
  { fabricM, hours, quote, weights }: Takeoff,
  units: LengthUnits,
  shell: Shell,
): void {
  const { areal, kgPerM2 } = weightUnits(units);
  const heaviest = weights.reduce((most, w) => Math.max(most, w.addedKgPerM2), 0);
  shell.say(
    `  fabric ${metresInWords(fabricM, units)}; tiles gain up to ${(heaviest / kgPerM2).toFixed(2)} ${areal}`,
  );
  shell.say(
    `  ${hours.personH} person-hours, ${hours.clockH} h by the clock, ${hours.allInStrandsPerPersonH} strands a person-hour, all in (${hours.strandsPerPersonH} over the work on strands alone)`,
  );
  shell.say(
    `  net ${formatMoney(quote.netMinor, quote.currency)}, with tax ${formatMoney(quote.grossMinor, quote.currency)}`,
  );
}
