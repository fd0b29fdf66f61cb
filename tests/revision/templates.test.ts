import { describe, expect, test } from "vitest";
import { engineOf, makeBundles } from "../../src/bundles/bundles.ts";
import { readTypeface } from "../../src/drawing/typeface.ts";
import type { JobInput } from "../../src/job/schema.ts";
import { changesBetween } from "../../src/revision/changes.ts";
import type { Version } from "../../src/revision/tileFacts.ts";
import { sheetContext, tilesWithHoles } from "../../src/sheets/context.ts";
import { layTile, printingOf } from "../../src/sheets/laid.ts";
import { drawTemplate, drawWholeTile } from "../../src/sheets/template.ts";
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

/** Tiles whose templates are told to be stale; null: all. */
function told(before: Version, after: Version): string[] | null {
  const line = changesBetween(before, after).stale.find((words) => words.startsWith("sheets/templates-back"));
  if (!line) return [];
  const [, pages = ""] = line.split(": ");
  return pages === "every page" ? null : pages.replace("pages of ", "").split(", ").sort();
}

const before = version();
const drawnBefore = templates(before);
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
    const names = [...new Set([...drawnBefore.keys(), ...drawnAfter.keys()])].sort();
    const differ = names.filter((name) => drawnBefore.get(name) !== drawnAfter.get(name));
    const stale = told(before, after);
    if (stale === null) expect(differ.length).toBeGreaterThan(0);
    else expect(stale).toEqual(differ);
    if (differ.length > 0 || stale === null) expect(changesBetween(before, after).revision).toBe(before.plan.job.revision + 1); // prettier-ignore
  });
});
