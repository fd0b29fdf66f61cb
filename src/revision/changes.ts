import type { Planned } from "../plan.ts";
import type { Job } from "../job/schema.ts";
import { printingOf, sideFile } from "../sheets/laid.ts";
import type { Changes, TileChange } from "../sheets/pack/changes.ts";
import { markStyles } from "../sheets/marks.ts";
import { changedInputs, type RowName } from "../work/reads.ts";
import { factsByTile, labelledByTile, type Version } from "./tileFacts.ts";

/** Compares two versions of a job: which tiles are touched, which sheets are stale. */
export function changesBetween(before: Version, after: Version): Changes {
  const tiles = tileChanges(before, after);
  const inputs = (row: RowName): string[] => inputsChanged(row, before.plan, after.plan);
  const marks = marksOf(before) === marksOf(after) ? [] : ["shapes of the marks"];
  const general = [...new Set([...[...inputs("plan"), ...inputs("pack")].map(wordsOf), ...marks])];
  const changed = tiles.length > 0 || general.length > 0;
  const fromRevision = before.plan.job.revision;
  const revision = changed ? fromRevision + 1 : fromRevision;
  return {
    fromRevision,
    revision,
    notRaised: changed && after.plan.job.revision < revision,
    tiles,
    general,
    stale: staleFiles(tiles, relabelled(before, after), inputs, marks.length > 0, after.plan.job),
  };
}

/** What of the job is told tile by tile, by what became of the tiles; all else changes whatever reads it. */
const TOLD_BY_TILES = ["pattern", "strands", "ceiling.outlineMm", "ceiling.grid", "ceiling.tiles"];
/** Also told tile by tile, or not at all, on templates, bench lists and labels. */
const NOT_ON_TEMPLATES = [
  "bundles",
  "ceiling.noGo",
  "ceiling.survey",
  "ceiling.voidMm",
  "ceiling.heightMm",
  "ceiling.assumedHeightMm",
  "sky",
];
/** What of a tile its template shows. */
const ON_TEMPLATE = ["tile", "around", "holes", "strands", "engine"] as const;

/** What else a printed thing reads that differs. The revision follows a change, and is none. */
function inputsChanged(row: RowName, before: Planned, after: Planned): string[] {
  return changedInputs(row, { ...before, at: "" }, { ...after, at: "" }).filter(
    (path) => path !== "revision" && !within(path, TOLD_BY_TILES),
  );
}

const within = (path: string, some: readonly string[]): boolean =>
  some.some((one) => path === one || path.startsWith(`${one}.`));

const WORDS: Record<string, string> = {
  title: "names in the title block",
  client: "names in the title block",
  room: "names in the title block",
  firm: "names in the title block",
  firmLogo: "the firm's logo",
  units: "units of length",
  night: "the sky",
  sky: "the sky",
  "ceiling.walls": "walls",
  "ceiling.bearingDeg": "walls",
  "ceiling.noGo": "no-go zones",
  ceiling: "survey",
  bundles: "engines and void",
  takeoff: "takeoff and prices",
  sheets: "paper and printer",
  scene: "pictures",
};

/** A key that has no words of its own is told by its name: nothing changes in silence. */
const wordsOf = (path: string): string => WORDS[path] ?? WORDS[path.split(".")[0]!] ?? path;

/** Tiles of which some label says otherwise. */
function relabelled(before: Version, after: Version): string[] {
  const [old, now] = [labelledByTile(before), labelledByTile(after)];
  return [...new Set([...now.keys(), ...old.keys()])].filter((tile) => old.get(tile) !== now.get(tile));
}

function staleFiles(
  tiles: readonly TileChange[],
  labels: readonly string[],
  inputs: (row: RowName) => string[],
  otherMarks: boolean,
  job: Job,
): string[] {
  const { sheets } = job;
  const printing = printingOf(job);
  const stale: string[] = [];
  const anew = (row: RowName): boolean => tiles.length > 0 || inputs(row).length > 0;
  const all = otherMarks || inputs("sheets").some((path) => !within(path, NOT_ON_TEMPLATES));
  const redrawn = tiles
    .filter(({ why }) => why.some((word) => word !== "lengths" && word !== "channels"))
    .map(({ tile }) => tile);
  const files = [
    ...sheets.sides.map((side) => sideFile(side, printing)),
    ...(sheets.listed.few || sheets.listed.tiles.length > 0 ? ["sheets/coordinates.pdf"] : []),
  ];
  for (const file of files) {
    if (all) stale.push(`${file}: every page`);
    else if (redrawn.length > 0) stale.push(`${file}: pages of ${redrawn.join(", ")}`);
  }
  if (all || redrawn.length > 0) stale.push("sheets/svg and sheets/dxf of those tiles");
  if (redrawn.length > 0 || inputs("sheets").length > 0) stale.push("sheets/overview.pdf");
  if (anew("plan")) stale.push("holes.csv", "plan.json, plan.svg, plan.dxf");
  if (anew("skySheet")) stale.push("the sky sheet");
  if (inputs("pack").some((path) => !within(path, NOT_ON_TEMPLATES))) stale.push("van.pdf", "client.pdf");
  else if (anew("pack")) {
    const only = tiles.length > 0 ? `only ${tiles.map(({ tile }) => tile).join(", ")}` : "none";
    stale.push(`van.pdf (of its bench list: ${only})`, `client.pdf (of its tile pages: ${only})`);
  }
  if (anew("bundleFiles")) stale.push("strands.csv, tails.csv");
  const onLabels = (path: string): boolean => path === "bundles.labels" || !within(path, NOT_ON_TEMPLATES);
  if (inputs("bundleFiles").some(onLabels)) stale.push("labels.pdf, labels.csv");
  else if (labels.length > 0) stale.push(`labels.pdf, labels.csv: labels of ${labels.join(", ")}`);
  if (anew("order")) stale.push("order.csv, quote.pdf, cut-plan.svg");
  return stale;
}

/** A shape means the same diameter on every template, so that one more diameter may change them all. */
function marksOf({ plan }: Version): string {
  const { stock } = plan.job.strands;
  const diameters = [...stock, ...plan.pattern.holes].map(({ diameterMm }) => diameterMm);
  const styles = markStyles(diameters, plan.job.pattern.spacingMm);
  const used = new Set(plan.pattern.holes.map(({ diameterMm }) => diameterMm));
  return JSON.stringify([...styles].filter(([diameterMm]) => used.has(diameterMm)));
}

function tileChanges(before: Version, after: Version): TileChange[] {
  const [old, now] = [factsByTile(before), factsByTile(after)];
  const names = [...new Set([...now.keys(), ...old.keys()])];
  return names.flatMap((tile): TileChange[] => {
    const [a, b] = [old.get(tile), now.get(tile)];
    if (!a) return [{ tile, why: ["new"] }];
    if (!b) return [{ tile, why: ["gone"] }];
    const why = ([...ON_TEMPLATE, "lengths"] as const).filter((key) => a[key] !== b[key]);
    return why.length > 0 ? [{ tile, why }] : [];
  });
}
