import type { Warning } from "../job/faults.ts";
import type { Planned } from "../plan.ts";
import { formatLength, metresInWords, weightUnits, type LengthUnits } from "../job/units.ts";
import { toMm, toUm } from "../geometry/um.ts";
import { blanksOf } from "./blanks.ts";
import { layOut } from "./cutPlan.ts";
import { hoursFor } from "./hours.ts";
import { fabricToBuyM, orderLines } from "./order.ts";
import { quoteFor } from "./quote.ts";
import {
  NO_PAPER,
  type CutPlan,
  type Hours,
  type StrandFacts,
  type Takeoff,
  type TileWeight,
} from "./types.ts";
import { GRID_CLASS_KG_PER_M, tileWeights } from "./weight.ts";
import { FACTS } from "../trade/facts.ts";

/** What of a plan a takeoff needs. */
export type TakeoffInput = Pick<Planned, "job" | "ceiling"> & { pattern: Pick<Planned["pattern"], "holes"> };

/**
 * Fabric, order, weight, hours and price of a plan. Never throws for what is over a limit: that is in
 * `faults` with its number, and everything else is worked out.
 */
export function makeTakeoff(plan: TakeoffInput, facts: StrandFacts): Takeoff {
  const { ceiling } = plan;
  const section = plan.job.takeoff;
  const blanks = blanksOf(ceiling, section);
  const cutPlan = layOut(blanks, toUm(section.fabric.rollWidthMm), toUm(section.fabric.selvedgeMm));
  const order = orderLines(ceiling, section, cutPlan, facts, plan.job.units);
  const weights = tileWeights(ceiling, section, blanks, facts);
  const hours = hoursFor(ceiling, section, facts);
  const { quote, warnings } = quoteFor(section, order, hours, facts, plan.job.units);
  return {
    cutPlan,
    fabricM: fabricToBuyM(cutPlan, section.fabric.waste),
    order,
    weights,
    hours,
    quote,
    faults: [...widthFaults(cutPlan, plan.job.units), ...rateFaults(hours), ...weightFaults(weights, plan)],
    warnings: [
      ...warnings,
      ...weightWarnings(weights, plan),
      ...(facts.assumed ? [lengthsAssumed(plan)] : []),
    ],
  };
}

const lengthsAssumed = ({ job }: TakeoffInput): Warning => ({
  code: "lengths-assumed",
  message: `No engine lights the holes yet: every strand is counted at ${metresInWords(job.scene.lengthM, job.units)}.`,
  path: "bundles.engines",
});

/** Facts for a plan that nobody bundled yet: the scene's usual length for every strand. */
export function assumedFacts({ job, pattern }: TakeoffInput): StrandFacts {
  return {
    strands: pattern.holes.flatMap(({ tile, diameterMm, strands }) =>
      Array.from({ length: strands }, () => ({ tile, diameterMm, lengthM: job.scene.lengthM, kit: false })),
    ),
    holes: pattern.holes.length,
    tails: new Set(pattern.holes.map(({ tile }) => tile)).size,
    engines: 0,
    kits: [],
    supports: 0,
    paper: NO_PAPER,
    labelSheets: 0,
    assumed: true,
  };
}

function widthFaults({ tooWide, usableUm }: CutPlan, units: LengthUnits): Takeoff["faults"] {
  const [widest] = [...tooWide].sort((a, b) => b.acrossUm - a.acrossUm);
  if (!widest) return [];
  const mm = (um: number) => formatLength(Math.round(toMm(um) * 10) / 10, units);
  return [
    {
      code: "blank-too-wide",
      path: "takeoff.fabric.rollWidthMm",
      expected: `a usable width of at least ${mm(widest.acrossUm)}, for ${tooWide.length} blank${tooWide.length > 1 ? "s" : ""} (${widest.name} the widest)`,
      got: `${mm(usableUm)} usable: ${mm(widest.acrossUm - usableUm)} too narrow`,
      next: "Take a wider roll, a narrower wrap, or let the pile run the other way on the plan.",
    },
  ];
}

function rateFaults({ tasks }: Hours): Takeoff["faults"] {
  const without = tasks.filter(({ personH }) => personH === null).map(({ name }) => name);
  if (without.length === 0) return [];
  return [
    {
      code: "zero-rate",
      path: "takeoff.rates",
      expected: "rates above 0",
      got: `0 for ${without.join(", ")}`,
      next: "Write how much of it is done in an hour; until then the hours and the price leave it out.",
    },
  ];
}

function weightFaults(weights: readonly TileWeight[], { job }: TakeoffInput): Takeoff["faults"] {
  const { loadClass } = job.takeoff.grid;
  if (loadClass === "unknown") return [];
  const limit = GRID_CLASS_KG_PER_M[loadClass];
  const { linear, kgPerM } = weightUnits(job.units);
  const on = (load: number) => `${+(load / kgPerM).toFixed(2)} ${linear}`;
  const over = weights.filter(({ loadKgPerM }) => loadKgPerM > limit);
  const [worst] = [...over].sort((a, b) => b.loadKgPerM - a.loadKgPerM);
  if (!worst) return [];
  return [
    {
      code: "tile-too-heavy",
      path: "takeoff.grid.loadClass",
      expected: `at most ${on(limit)} of main runner (${loadClass} duty, ASTM C635)`,
      got: `${on(worst.loadKgPerM)} beside tile ${worst.tile}: ${on(worst.loadKgPerM - limit)} too much${over.length > 1 ? `, and ${over.length - 1} more tiles` : ""}`,
      next: "Weigh a tile; take lighter fabric or tiles, or ask who answers for the grid.",
    },
  ];
}

function weightWarnings(weights: readonly TileWeight[], { job }: TakeoffInput): Warning[] {
  const warnings: Warning[] = [];
  const heavy = weights.filter(({ addedKgPerM2 }) => addedKgPerM2 > FACTS.mostAddedKgPerM2.value);
  const { areal, kgPerM2 } = weightUnits(job.units);
  const on = (load: number) => +(load / kgPerM2).toFixed(2);
  const most = heavy.reduce((max, { addedKgPerM2 }) => Math.max(max, addedKgPerM2), 0);
  if (heavy.length > 0)
    warnings.push({
      code: "much-added",
      message: `${heavy.length} tiles gain more than ${on(FACTS.mostAddedKgPerM2.value)} ${areal}, up to ${on(most)}: they may sag. Small border tiles carry more wrap.`,
      path: "takeoff.fabric.kgPerM2",
    });
  if (job.takeoff.grid.loadClass === "unknown")
    warnings.push({
      code: "load-class-unknown",
      message: "The grid's load class is not known: weights are shown, and compared with nothing.",
      path: "takeoff.grid.loadClass",
    });
  return warnings;
}
