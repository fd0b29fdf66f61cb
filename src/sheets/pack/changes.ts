import type { Bundles } from "../../bundles/types.ts";
import type { Planned } from "../../plan.ts";
import { strungWords } from "../../pattern/packing.ts";
import type { Hole } from "../../pattern/types.ts";
import type { PackDocument } from "./document.ts";

/** A plan at one revision, with its bundles if there are any. */
export interface Version {
  plan: Planned;
  bundles: Bundles | null;
}

export interface TileChange {
  tile: string;
  /** What differs: "holes", "strands", "engine", "tile", "gone", "new". */
  why: string[];
}

/** What a change of the job makes stale. */
export interface Changes {
  fromRevision: number;
  /** The revision that the changed job must carry; the same as before where nothing printed differs. */
  revision: number;
  /** The changed job does not carry it yet. */
  notRaised: boolean;
  tiles: TileChange[];
  /** Facts on every page that differ: title, sky, no-go zones, walls. */
  general: string[];
  /** Printed things that must not be used any more, by file. */
  stale: string[];
}

/** Compares two versions of a job: which tiles are touched, which sheets are stale. */
export function changesBetween(before: Version, after: Version): Changes {
  const tiles = tileChanges(before, after);
  const general = generalChanges(before.plan, after.plan);
  const changed = tiles.length > 0 || general.length > 0;
  const fromRevision = before.plan.job.revision;
  const revision = changed ? fromRevision + 1 : fromRevision;
  return {
    fromRevision,
    revision,
    notRaised: changed && after.plan.job.revision < revision,
    tiles,
    general,
    stale: staleFiles(tiles, general, after.plan),
  };
}

/** The job with its revision raised as far as the change asks for; the same job where it asks for nothing. */
export function raiseRevision<J extends { revision: number }>(job: J, { revision }: Changes): J {
  return job.revision >= revision ? job : { ...job, revision };
}

function tileChanges(before: Version, after: Version): TileChange[] {
  const [old, now] = [factsByTile(before), factsByTile(after)];
  const names = [...new Set([...now.keys(), ...old.keys()])];
  return names.flatMap((tile): TileChange[] => {
    const [a, b] = [old.get(tile), now.get(tile)];
    if (!a) return [{ tile, why: ["new"] }];
    if (!b) return [{ tile, why: ["gone"] }];
    const why = (["tile", "holes", "strands", "engine"] as const).filter((key) => a[key] !== b[key]);
    return why.length > 0 ? [{ tile, why }] : [];
  });
}

interface TileFacts {
  tile: string;
  holes: string;
  strands: string;
  engine: string;
}

function factsByTile({ plan, bundles }: Version): Map<string, TileFacts> {
  const holes = new Map<string, Hole[]>();
  for (const hole of plan.pattern.holes) {
    const own = holes.get(hole.tile);
    if (own) own.push(hole);
    else holes.set(hole.tile, [hole]);
  }
  const strandOf = new Map(bundles?.strands.map((strand) => [strand.hole, strand]));
  return new Map(
    plan.ceiling.tiles.map(({ name, use, outline }) => {
      const own = holes.get(name) ?? [];
      return [
        name,
        {
          tile: JSON.stringify([use, outline]),
          holes: own.map((h) => `${h.numberInTile} ${h.xMm} ${h.yMm} ${h.kind}`).join(";"),
          strands: own.map((h) => `${strungWords(h)} ${strandOf.get(h.id)?.lengthM ?? ""}`).join(";"),
          engine: own
            .map((h) => `${strandOf.get(h.id)?.engine ?? ""} ${strandOf.get(h.id)?.channel ?? ""}`)
            .join(";"),
        },
      ];
    }),
  );
}

function generalChanges(before: Planned, after: Planned): string[] {
  const facts = (plan: Planned): Record<string, unknown> => ({
    "names in the title block": [plan.job.title, plan.job.client, plan.job.room, plan.job.firm],
    "the sky": [plan.night, plan.frame.instant.utcIso],
    walls: [plan.ceiling.walls, plan.ceiling.bearingDeg],
    "no-go zones": plan.job.ceiling.noGo,
    survey: [plan.job.ceiling.survey, plan.job.ceiling.voidMm, plan.job.ceiling.heightMm],
    "engines and void": plan.job.bundles,
    "takeoff and prices": plan.job.takeoff,
    "paper and printer": plan.job.sheets,
  });
  const [a, b] = [facts(before), facts(after)];
  return Object.keys(a).filter((key) => JSON.stringify(a[key]) !== JSON.stringify(b[key]));
}

const PUNCHED = new Set(["holes", "strands", "engine", "tile", "new", "gone"]);
const ON_TEMPLATES = ["names in the title block", "the sky", "walls", "paper and printer"];

function staleFiles(tiles: readonly TileChange[], general: readonly string[], { job }: Planned): string[] {
  const stale: string[] = [];
  const touched = tiles.filter(({ why }) => why.some((word) => PUNCHED.has(word))).map(({ tile }) => tile);
  const all = general.some((word) => ON_TEMPLATES.includes(word));
  for (const side of job.sheets.sides) {
    if (all) stale.push(`sheets/templates-${side}.pdf: every page`);
    else if (touched.length > 0) stale.push(`sheets/templates-${side}.pdf: pages of ${touched.join(", ")}`);
  }
  if (all || touched.length > 0)
    stale.push(
      "sheets/overview.pdf",
      "holes.csv",
      "plan.json, plan.svg, plan.dxf",
      "sheets/svg and sheets/dxf of those tiles",
    );
  if (stale.length > 0 || general.length > 0) stale.push("van.pdf", "client.pdf", "strands.csv, tails.csv");
  if (tiles.some(({ why }) => why.some((word) => word !== "holes"))) stale.push("labels.pdf, labels.csv");
  if (general.includes("takeoff and prices") || touched.length > 0)
    stale.push("order.csv, quote.pdf, cut-plan.svg");
  return stale;
}

/** A page that says what changed since the last printed revision. */
export function changesSection(doc: PackDocument, changes: Changes): void {
  doc.section(`Changes since revision ${changes.fromRevision}`);
  if (changes.tiles.length === 0 && changes.general.length === 0) {
    doc.write("Nothing that is printed differs.");
    return;
  }
  if (changes.notRaised)
    doc.write(
      `The job still carries the old revision: write revision ${changes.revision} into it before printing.`,
      3.2,
      { bold: true },
    );
  if (changes.general.length > 0) doc.write(`Changed throughout: ${changes.general.join("; ")}.`);
  if (changes.stale.length > 0) {
    doc.heading("Take these out of the binder");
    for (const words of changes.stale) doc.tick(words);
  }
  if (changes.tiles.length > 0) {
    doc.heading("Tiles affected");
    doc.table(
      [
        { title: "tile", share: 1, bold: true },
        { title: "what differs", share: 5 },
      ],
      changes.tiles.map(({ tile, why }) => [tile, why.join(", ")]),
    );
  }
}
