import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { engineOf, makeBundles } from "../../src/bundles/bundles.ts";
import { checkJob } from "../../src/check.ts";
import { NODE } from "../../src/cli/work.ts";
import { readTypeface } from "../../src/drawing/typeface.ts";
import type { JobInput } from "../../src/job/schema.ts";
import { groupBy } from "../../src/groupBy.ts";
import { changesBetween } from "../../src/revision/changes.ts";
import type { Version } from "../../src/revision/tileFacts.ts";
import { sheetContext, tilesWithHoles } from "../../src/sheets/context.ts";
import { labelsFor } from "../../src/sheets/labelSheets.ts";
import { layTile, printingOf } from "../../src/sheets/laid.ts";
import { drawTemplate, drawWholeTile } from "../../src/sheets/template.ts";
import { choose, planned } from "../../src/work/stage.ts";
import { Work } from "../../src/work/work.ts";
import { solver } from "../bundles/support.ts";
import { fixturePlan, fonts } from "../sheets/fixture.ts";

/**
 * What is told to be stale, held against the templates themselves: each is drawn before and after a change of the
 * job. A template that differs and is not named would be punched from; one that is named and does not differ
 * is thrown away for nothing.
 */
function version(change: (job: JobInput) => void = () => undefined): Version {
  const plan = fixturePlan({
    perTile: 12,
    change: (job) => {
      job.ceiling.voidMm = 300;
      job.bundles = {
        engines: [
          { letter: "A", atMm: [-200, 1000], capacity: 900 },
          { letter: "B", atMm: [4200, 400], capacity: 900 },
        ],
        twinkle: { kind: "channels" },
      };
      change(job);
    },
  });
  return { plan, bundles: makeBundles(plan, { solver }) };
}

function templates({ plan, bundles }: Version): Map<string, string> {
  const context = sheetContext(plan, readTypeface(fonts), engineOf(bundles!));
  const printing = printingOf(plan.job);
  return new Map(
    tilesWithHoles(plan).map((part) => {
      const tile = layTile(part, "back", printing);
      const drawn = tile.pages.map((_, i) => drawTemplate(context, tile, "back", i));
      return [part.tile.name, JSON.stringify([drawn, drawWholeTile(context, part, "back")])];
    }),
  );
}

/** The words on the labels of every tile. */
function labels({ plan, bundles }: Version): Map<string, string> {
  const all = labelsFor(sheetContext(plan, readTypeface(fonts), engineOf(bundles!)), bundles!);
  // "A-C4", or "C4"
  const tileOf = ({ big }: (typeof all)[number]) => big.replace(/^[A-Z]+-/, "");
  return new Map(
    [...groupBy(all, tileOf)].map(([tile, own]) => [tile, own.map(({ lines }) => lines.join()).join(";")]),
  );
}

const differing = (a: ReadonlyMap<string, string>, b: ReadonlyMap<string, string>): string[] =>
  [...new Set([...a.keys(), ...b.keys()])].filter((name) => a.get(name) !== b.get(name)).sort();

/** Tiles of which a file's pages or labels are told to be stale; null: all. */
function told(before: Version, after: Version, file: string): string[] | null {
  const line = changesBetween(before, after).stale.find((words) => words.startsWith(file));
  if (!line) return [];
  const [, only] = line.split(/: (?:pages|labels) of /);
  return only === undefined ? null : only.split(", ").sort();
}

const before = version();
const drawnBefore = templates(before);
const labelsBefore = labels(before);
const loudspeaker = { kind: "speaker" as const, circle: { centreMm: [900, 900] as [number, number], radiusMm: 90 }, clearanceMm: 25 }; // prettier-ignore

describe("templates that a change makes stale are those that look otherwise", () => {
  test.each<[string, (job: JobInput) => void]>([
    ["nothing", () => undefined],
    ["a loudspeaker is added", (job) => void job.ceiling.noGo!.push(loudspeaker)],
    ["a head's owner says no", (job) => void (job.ceiling.noGo![0]!.agreement = { answer: "refused", who: "Brook", on: "2031-01-05", words: "not there" })], // prettier-ignore
    ["an engine is moved a hand's breadth", (job) => void (job.bundles!.engines![0]!.atMm = [-180, 1040])],
    ["a tile is fixed to the other engine", (job) => void (job.bundles!.fixed = { A1: "B" })],
    ["prices", (job) => void (job.takeoff = { prices: { currency: "EUR", hour: 60 } })],
    ["spacing so tight that marks shrink", (job) => void (job.pattern = { ...job.pattern, spacingMm: 4 })],
    ["a strand thinner than all", (job) => void job.strands.stock.unshift({ diameterMm: 0.25, count: 1 })],
    ["the void is higher", (job) => void (job.ceiling.voidMm = 420)],
    ["another room name", (job) => void (job.room = "Back room")],
    ["another unit", (job) => void (job.units = "ft-in")],
    ["another paper", (job) => void (job.sheets = { ...job.sheets, paper: "A3" })],
    ["north lies elsewhere", (job) => void (job.ceiling.bearingDeg = 77)],
  ])("%s", (_, change) => {
    const after = version(change);
    const drawnAfter = templates(after);
    const differ = differing(drawnBefore, drawnAfter);
    const stale = told(before, after, "sheets/templates-back");
    if (stale === null) expect(differ.length).toBeGreaterThan(0);
    else expect(stale).toEqual(differ);
    const labelsStale = told(before, after, "labels.pdf");
    if (labelsStale !== null) expect(labelsStale).toEqual(differing(labelsBefore, labels(after)));
    if (differ.length > 0 || stale === null) expect(changesBetween(before, after).revision).toBe(before.plan.job.revision + 1); // prettier-ignore
  });
});

test("the demo and one more loudspeaker: at most 20 of its 57 tiles are named, each for a paper that differs", async () => {
  const work = new Work(NODE, 4);
  const worked = async (job: JobInput): Promise<Version> => {
    const made = await work.upTo(choose(checkJob(JSON.stringify(job)).job), "bundles");
    return { plan: planned(made), bundles: made.bundles.bundles };
  };
  const job = JSON.parse(readFileSync("demo/harbour-dining-room.velarium.json", "utf8")) as JobInput;
  const demo = await worked(job);
  job.ceiling.noGo!.push({ ...loudspeaker, circle: { centreMm: [2100, 1300], radiusMm: 90 } });
  const after = await worked(job);
  const strands = ({ plan, bundles }: Version) =>
    new Map(
      [...groupBy(bundles!.strands, ({ tile }) => tile)].map(([tile, own]) => [
        tile,
        JSON.stringify(
          own.map(({ hole, ...rest }) => [plan.pattern.holes[hole - 1]!.numberInTile, { ...rest, needM: 0 }]),
        ),
      ]),
    );
  const { tiles, stale } = changesBetween(demo, after);
  const named = tiles.map(({ tile }) => tile);
  // also tiles whose holes moved and kept their strands, and what stands round them
  expect(named).toEqual(expect.arrayContaining(differing(strands(demo), strands(after))));
  expect(told(demo, after, "sheets/templates-back")).toEqual(differing(templates(demo), templates(after)));
  expect(told(demo, after, "labels.pdf")).toEqual(differing(labels(demo), labels(after)));
  expect(named.length).toBeLessThan(20);
  expect(stale).toContain(`van.pdf (of its bench list: only ${named.join(", ")})`);
}, 60_000);
