import { toMm } from "../geometry/um.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { areaMm2 } from "../geometry/area.ts";
import { areaWords, FOOT_M, formatLength, metresInWords, type LengthUnits } from "../job/units.ts";
import type { TakeoffSection } from "../job/sections/takeoff.ts";
import { coveredTiles } from "./blanks.ts";
import type { CutPlan, OrderLine, StrandFacts } from "./types.ts";
import { PILE_WORDS } from "../job/codeWords.ts";
import { COMMON_PRACTICE } from "../trade/fact.ts";
import { FACTS } from "../trade/facts.ts";

/** Roll to buy: the cut plan and the waste on top, up to the next tenth of a metre. */
export const fabricToBuyM = ({ lengthUm }: CutPlan, waste: number): number =>
  Math.ceil(Number(((lengthUm / 1e5) * (1 + waste)).toFixed(6))) / 10;

/** A length to buy: metres, or whole feet. */
const bought = (metres: number, units: LengthUnits): Pick<OrderLine, "quantity" | "unit"> =>
  units === "ft-in"
    ? { quantity: Math.ceil(Number((metres / FOOT_M).toFixed(6))), unit: "ft" }
    : { quantity: metres, unit: "m" };

type InMetres = (metres: number) => string;

/** What to have on the van, each line with where its quantity comes from. */
export function orderLines(
  ceiling: Ceiling,
  section: TakeoffSection,
  cutPlan: CutPlan,
  facts: StrandFacts,
  units: LengthUnits,
): OrderLine[] {
  const metres: InMetres = (m) => metresInWords(m, units);
  const covered = coveredTiles(ceiling);
  const m2 = covered.reduce((sum, { outline }) => sum + areaMm2(outline) / 1e6, 0);
  const strands = facts.strands.length;
  const { fabric } = section;
  const lines: OrderLine[] = [
    {
      item: "fabric",
      detail: `${[fabric.name, `roll ${formatLength(Math.round(fabric.rollWidthMm * 10) / 10, units)}`].filter(Boolean).join(", ")}; one dye lot; pile ${PILE_WORDS[fabric.pile]}`,
      ...bought(fabricToBuyM(cutPlan, fabric.waste), units),
      source: `cut plan ${metres(cutPlan.lengthUm / 1e6)} and ${Math.round(fabric.waste * 100)} %; ${COMMON_PRACTICE}`,
    },
    {
      item: "spray adhesive",
      detail: `for ${areaWords(m2, units)} of finished tile`,
      quantity: Math.ceil(Number((m2 / section.sprayM2PerCan).toFixed(6))),
      unit: "cans",
      source: `${areaWords(section.sprayM2PerCan, units)} a can; ${COMMON_PRACTICE}`,
    },
    {
      item: "hot-glue sticks",
      detail: `${units === "ft-in" ? "7/16 × 4 in" : "11 × 100 mm"}, low temperature`,
      quantity: Math.ceil(strands / section.strandsPerGlueStick),
      unit: "sticks",
      source: `${section.strandsPerGlueStick} strands a stick, worked out from dot and stick volume`,
    },
  ];
  if (section.frame) lines.push(staples(covered, section, units));
  lines.push(...strandLines(section, facts, metres));
  lines.push(
    {
      item: "label sheets",
      detail: "two to a tail, one to a tile, one to its spares",
      quantity: facts.labelSheets,
      unit: "sheets",
      source: "bundle schedule",
    },
    ...paperLines(facts, units),
    { item: "light engines", detail: "", quantity: facts.engines, unit: "pieces", source: "bundle schedule" },
    ...fixings(facts, metres),
    {
      item: "spare tiles",
      detail: "for breakage, and for the spare blanks",
      quantity: Math.max(fabric.spareBlanks, Math.ceil(covered.length * FACTS.spareTiles.value)),
      unit: "tiles",
      source: `5 % and at least the spare blanks; ${COMMON_PRACTICE}`,
    },
  );
  return lines;
}

/** What the templates and check sheets are printed on; sheets of a roll are told by its length. */
const paperLines = ({ paper }: StrandFacts, units: LengthUnits): OrderLine[] =>
  paper.papers.map(({ name, sheets, rollM }) => ({
    item: "paper",
    detail:
      rollM === null
        ? `${name}, plain`
        : `${name}, ${sheets} sheets, ${metresInWords(rollM, units)} without waste`,
    ...(rollM === null ? { quantity: sheets, unit: "sheets" } : bought(Math.ceil(rollM), units)),
    source: "templates and check sheets, one print each",
  }));

/** Kits are bought whole; runs hang on supports of their own, and each port closes round a ferrule. */
function fixings({ kits, supports, tails, engines }: StrandFacts, metres: InMetres): OrderLine[] {
  const source = "bundle schedule";
  const line = (item: string, detail: string, quantity: number, unit: string, from = source): OrderLine[] =>
    quantity === 0 ? [] : [{ item, detail, quantity, unit, source: from }];
  return [
    ...kits.flatMap(({ engine, lots }) => {
      const detail = lots.map((l) => `${l.count} of ${l.diameterMm} mm, ${metres(l.lengthM)}`).join("; ");
      return line("kit of cut strands", `engine ${engine}: ${detail}`, 1, "kit", "as typed into the job");
    }),
    ...line("supports for the runs", "fixed to the structure, never to the grid", supports, "pieces"),
    ...line(
      "ties",
      "one to a support and two to a tail, not pulled tight; plastic alone is no support in a fire",
      supports + 2 * tails,
      "pieces",
      COMMON_PRACTICE,
    ),
    ...line("ferrules", "one to a port, as the engine's maker has them", engines, "pieces"),
  ];
}

function staples(
  covered: ReturnType<typeof coveredTiles>,
  { stapleSpacingMm }: TakeoffSection,
  units: LengthUnits,
): OrderLine {
  const quantity = covered.reduce(
    (sum, { box }) =>
      sum + Math.ceil(toMm(2 * (box.maxX - box.minX + box.maxY - box.minY)) / stapleSpacingMm),
    0,
  );
  return {
    item: "staples",
    detail: "frame or hard back only",
    quantity,
    unit: "staples",
    source: `one every ${formatLength(stapleSpacingMm, units)}; ${COMMON_PRACTICE}`,
  };
}

/** A spare that was used, to be ordered again. */
export const USED_SPARE = "spare strand again";

/** Strand by diameter and length: what is used, what gets lost, what stays coiled behind the tiles. */
function strandLines(
  section: TakeoffSection,
  { strands, assumed, used = [] }: StrandFacts,
  metres: InMetres,
): OrderLine[] {
  const lots = new Map<string, { diameterMm: number; lengthM: number; kit: boolean; count: number }>();
  for (const { diameterMm, lengthM, kit } of strands) {
    const key = `${kit} ${diameterMm} ${lengthM}`;
    const lot = lots.get(key) ?? { diameterMm, lengthM, kit, count: 0 };
    lot.count++;
    lots.set(key, lot);
  }
  const sorted = [...lots.values()].sort(
    (a, b) => Number(a.kit) - Number(b.kit) || a.diameterMm - b.diameterMm || a.lengthM - b.lengthM,
  );
  const lines = sorted.map(({ diameterMm, lengthM, kit, count }): OrderLine => ({
    item: kit ? "used of the kits" : "strand",
    detail: `${diameterMm} mm, ${metres(lengthM)}${assumed ? " (length assumed: nothing is bundled yet)" : ""}`,
    quantity: kit ? count : Math.ceil(Number((count * (1 + section.strandWaste)).toFixed(6))),
    unit: "strands",
    source: kit
      ? "bundle schedule"
      : `${count} used and ${Math.round(section.strandWaste * 100)} %; ${COMMON_PRACTICE}`,
  }));
  const spares = sparesOf(section, strands);
  return [
    ...lines,
    ...spares.map(({ diameterMm, lengthM, engine, count }): OrderLine => ({
      item: "spare strand",
      detail: `${diameterMm} mm, ${metres(lengthM)}, ${engine ? `engine ${engine}, ` : ""}coiled and labelled behind the tiles`,
      quantity: count,
      unit: "strands",
      source: `${section.spareStrandsPerTile} a tile; ${COMMON_PRACTICE}`,
    })),
    ...used.map(({ diameterMm, lengthM, engine, count, tiles }): OrderLine => ({
      item: USED_SPARE,
      detail: `${diameterMm} mm, ${metres(lengthM)}, ${engine ? `engine ${engine}, ` : ""}in place of what was used on ${tiles.join(", ")}`,
      quantity: count,
      unit: "strands",
      source: "the record",
    })),
  ];
}

/** The spare of one tile: its commonest diameter at its greatest length; null where it has no strands. */
export function spareFor(
  own: readonly { diameterMm: number; lengthM: number }[],
): { diameterMm: number; lengthM: number } | null {
  const counts = new Map<number, number>();
  for (const { diameterMm } of own) counts.set(diameterMm, (counts.get(diameterMm) ?? 0) + 1);
  const [commonest] = [...counts].sort(([d, n], [e, m]) => m - n || d - e);
  if (!commonest) return null;
  const [diameterMm] = commonest;
  const lengths = own.filter((s) => s.diameterMm === diameterMm).map((s) => s.lengthM);
  return { diameterMm, lengthM: Math.max(...lengths) };
}

/** For each tile, spares of its commonest diameter at its greatest length; those of each engine by themselves, as they are kept. */
export function sparesOf({ spareStrandsPerTile }: TakeoffSection, strands: StrandFacts["strands"]): Spare[] {
  const byTile = new Map<string, StrandFacts["strands"]>();
  for (const strand of strands) {
    const own = byTile.get(strand.tile);
    if (own) own.push(strand);
    else byTile.set(strand.tile, [strand]);
  }
  const spares = new Map<string, Spare>();
  for (const own of byTile.values()) {
    const { diameterMm, lengthM } = spareFor(own)!;
    const engine = own.find((s) => s.diameterMm === diameterMm && s.lengthM === lengthM)?.engine ?? "";
    const key = `${engine} ${diameterMm} ${lengthM}`;
    const spare = spares.get(key) ?? { diameterMm, lengthM, engine, count: 0 };
    spare.count += spareStrandsPerTile;
    spares.set(key, spare);
  }
  return [...spares.values()]
    .filter(({ count }) => count > 0)
    .sort(
      (a, b) =>
        (a.engine < b.engine ? -1 : Number(a.engine > b.engine)) ||
        a.diameterMm - b.diameterMm ||
        a.lengthM - b.lengthM,
    );
}

interface Spare {
  diameterMm: number;
  lengthM: number;
  /** Letter, or "" where nothing is bundled yet. */
  engine: string;
  count: number;
}
