import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { unzipSync } from "fflate";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { bundlePlan } from "../../../src/bundles/compensate.ts";
import { costWords } from "../../../src/app/parts/bundles/costWords.ts";
import { costOfFixing } from "../../../src/bundles/fixing.ts";
import type { Bundles } from "../../../src/bundles/types.ts";
import { loadCatalog } from "../../../src/cli/catalogFiles.ts";
import { loadSolver } from "../../../src/cli/solver.ts";
import type { Job } from "../../../src/job/schema.ts";
import { countStrands } from "../../../src/pattern/packing.ts";
import type { Planned } from "../../../src/plan.ts";
import { planJob } from "../../../src/work/planJob.ts";
import type { Solver } from "../../../src/bundles/solver.ts";
import { contents, scratch, velarium } from "../../cli/run.ts";
import { demoJob } from "../demoJob.ts";
import { downloaded, openPart, openSection, takeBack, waitForTally } from "./hands.ts";
import { stand, type Stand, wrongsOf } from "./harness.ts";

const DEMO = "demo/harbour-dining-room.velarium.json";
let at: Stand;
let plan: Planned;
let bundles: Bundles;
let solver: Solver;
beforeAll(async () => {
  const catalog = await loadCatalog();
  solver = (await loadSolver())!;
  plan = planJob(demoJob(), catalog);
  bundles = bundlePlan(plan, { solver, figures: catalog.figures }).bundles;
  at = await stand();
}, 240_000);
afterAll(() => at.close());

const button = (page: Page, name: string | RegExp) => page.getByRole("button", { name, exact: true });

/** Waits until the solver has answered. */
async function solved(page: Page): Promise<void> {
  await page.getByText(/^Proven: nothing/).waitFor({ timeout: 60_000 });
}

async function atBundles(page: Page, section = "Engines"): Promise<void> {
  await openPart(page, "Bundles");
  await page.locator('[data-count="lit"]').waitFor({ timeout: 60_000 });
  if (section !== "Engines") await openSection(page, section);
}

async function middleOf(page: Page, grip: string): Promise<{ x: number; y: number }> {
  const box = (await page.locator(`[data-grip="${grip}"]`).boundingBox())!;
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/** Words of a PDF as poppler reads them. */
function wordsOf(bytes: Uint8Array): string {
  const folder = mkdtempSync(join(tmpdir(), "velarium-pdf-"));
  writeFileSync(`${folder}/a.pdf`, bytes);
  const read = spawnSync("pdftotext", ["-layout", `${folder}/a.pdf`, "-"], {
    encoding: "utf8",
    maxBuffer: 1 << 26,
  });
  rmSync(folder, { recursive: true });
  expect(read.status, read.stderr).toBe(0);
  return read.stdout;
}

/** What the command line writes into folders, by name. */
async function written(...commands: string[]): Promise<Map<string, Uint8Array>> {
  const folder = scratch();
  const files = new Map<string, Uint8Array>();
  for (const command of commands) {
    const ran = await velarium([command, DEMO, "--out", folder.path(command)]);
    expect(ran.code, ran.err).toBe(0);
    for (const [name, bytes] of contents(folder.path(command))) files.set(name, bytes);
  }
  folder.remove();
  // the list of what was written goes with a folder, not with a zip
  files.delete("files.sha256");
  return files;
}

/** Six engines for exactly the strands that there are: the solver looks for as long as it may. */
function nothingSpare(timeLimitS: number): Job {
  const job = demoJob();
  const capacity = Math.ceil(countStrands(plan.pattern.holes) / 6);
  const engines = [..."ABCDEF"].map((letter, i) => ({
    ...job.bundles.engines[0]!,
    letter,
    name: "",
    atMm: [613 * i - 250, i % 2 ? -200 : 4200] as [number, number],
    capacity,
    reachM: 12,
  }));
  return { ...job, bundles: { ...job.bundles, timeLimitS, kits: [], fixed: {}, engines } };
}

describe("bundles in the studio", () => {
  test("the solver in the page shares out as the one of the command line; tables and packs are the same", async () => {
    const { context, page } = await at.demo();
    await atBundles(page);
    await solved(page);
    await waitForTally(page, "lit", bundles.strands.length);
    expect(await page.locator('[data-count="strand"]').innerText()).toBe(
      // the demo is in feet and inches
      `${Math.round(bundles.allotment.strandM / 0.3048)} ft`,
    );
    await waitForTally(page, "tails", bundles.tails.length);
    await waitForTally(page, "split", bundles.allotment.splitTiles.length);
    for (const { letter, strands } of bundles.engines)
      expect(await page.locator(`[data-engine="${letter}"]`).innerText()).toMatch(
        new RegExp(`^${strands}\\b`),
      );
    await openPart(page, "Order");
    await openSection(page, "Packs and labels");
    const zip = await downloaded(page, () => button(page, "Everything (zip)").click());
    expect(zip.name).toBe("harbour-dining-room-packs.zip");
    const files = unzipSync(zip.bytes);
    const cli = await written("pack", "order");
    expect(Object.keys(files).sort()).toEqual([...cli.keys()].sort());
    for (const [name, bytes] of cli) {
      if (name.endsWith(".pdf")) expect(wordsOf(files[name]!) === wordsOf(bytes), name).toBe(true);
      else expect(Buffer.from(files[name]!).equals(bytes), name).toBe(true);
    }
    // the engine beside each hole is the same on the templates' table
    await openPart(page, "Sheets");
    await openSection(page, "Download");
    const csv = await downloaded(page, () => button(page, "Holes (CSV)").click());
    const holes = new TextDecoder().decode(csv.bytes).trim().split("\r\n").slice(1);
    const engines = holes.map((row) => row.split(",").at(-1));
    const byHole = new Map(bundles.strands.map(({ hole, engine }) => [hole, engine]));
    expect(engines).toEqual(plan.pattern.holes.map(({ id }) => byHole.get(id) ?? ""));
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 240_000);

  test("an engine is dragged: hand rules answer under the hand, the solver after it; one step, undone by one", async () => {
    const { context, page } = await at.demo();
    await atBundles(page);
    await solved(page);
    const before = await page.locator('[data-count="strand"]').innerText();
    const from = await middleOf(page, "engine:0");
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(from.x + 30, from.y - 60, { steps: 4 });
    await page.getByText(/^First answer, by rules of thumb/).waitFor();
    await page.mouse.move(from.x + 90, from.y - 120, { steps: 6 });
    const to = await middleOf(page, "engine:0");
    expect(Math.hypot(to.x - from.x - 90, to.y - from.y + 120)).toBeLessThan(4);
    await page.mouse.up();
    await takeBack(page, "Move engine A").waitFor();
    await solved(page);
    expect(await page.locator('[data-count="strand"]').innerText()).not.toBe(before);
    await takeBack(page, "Move engine A").click();
    await page.waitForFunction(
      (words) => (document.querySelector('[data-count="strand"]') as HTMLElement).innerText === words,
      before,
      { timeout: 60_000 },
    );
    // by keyboard, and by numbers
    await page.locator('[data-grip="engine:0"]').focus();
    await page.keyboard.press("Shift+ArrowRight");
    await takeBack(page, "Move engine A").waitFor();
    await page.keyboard.press("Enter");
    const left = page.getByLabel("Behind bar wall", { exact: true });
    await left.fill("10 in");
    await left.blur();
    await page.getByLabel("Letter", { exact: true }).fill("K");
    await page.getByLabel("Letter", { exact: true }).blur();
    await takeBack(page, "Call engine A K").waitFor();
    await page.getByText("Kit of engine K").waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 240_000);

  test("an engine is put down and another taken away; one outside the building is told by how much", async () => {
    const { context, page } = await at.demo();
    await atBundles(page);
    await button(page, "Add an engine").click();
    const room = (await page.locator(".room").boundingBox())!;
    await page.mouse.click(room.x + room.width * 0.3, room.y + room.height * 0.4);
    await takeBack(page, "Add engine D").waitFor();
    const left = page.getByLabel("From bar wall", { exact: true });
    await left.fill("-10 m");
    await left.blur();
    await page.getByText(/Engine D \d+' [\d /]+" too far outside/).waitFor();
    await page.locator('[data-count="lit"]').waitFor();
    await page.locator('[data-grip="engine:3"]').focus();
    await page.keyboard.press("Delete");
    await takeBack(page, "Remove engine D").waitFor();
    await page.getByText(/too far outside/).waitFor({ state: "detached" });
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 120_000);

  test("a tile is fixed to an engine, and what that costs is what the core says", async () => {
    const { context, page } = await at.demo();
    await atBundles(page, "Tiles to engines");
    await solved(page);
    await page.locator('[data-grip="tile:G9"]').click();
    const owner = bundles.tails.find(({ tile }) => tile === "G9")!.engine;
    const other = bundles.engines.find(({ letter }) => letter !== owner)!.letter;
    await page.getByRole("radio", { name: other, exact: true }).check({ force: true });
    await takeBack(page, `Fix tile G9 to ${other}`).waitFor();
    const catalog = await loadCatalog();
    const fixing = (fixed: Record<string, string>) => {
      const job = { ...plan.job, bundles: { ...plan.job.bundles, fixed } };
      return bundlePlan({ ...plan, job }, { solver, figures: catalog.figures }).bundles;
    };
    const cost = costOfFixing(fixing({ G9: other }), fixing({}));
    expect(cost).not.toEqual({ strandM: 0, dark: 0, splits: 0, borders: 0 });
    await page
      .locator('[data-cost="fixed"]', { hasText: costWords(cost, "ft-in") })
      .waitFor({ timeout: 90_000 });
    await button(page, "Compare engines").click();
    const costs = page.getByLabel("What each engine would cost for tile G9");
    await costs.getByText(`G9 with ${other}`).waitFor({ timeout: 90_000 });
    // by keyboard: free again
    await page.locator('[data-grip="tailcursor"]').focus();
    await page.keyboard.press("Delete");
    await takeBack(page, "Free tile G9").waitFor();
    await page.keyboard.press(owner.toLowerCase());
    await takeBack(page, `Fix tile G9 to ${owner}`).waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 300_000);

  test("a picked tile is drawn to an engine: fixed while the hand is there, let go elsewhere nothing changes", async () => {
    const { context, page } = await at.demo();
    await atBundles(page, "Tiles to engines");
    await solved(page);
    const tile = await middleOf(page, "tile:E8");
    const engine = await middleOf(page, "engine:0");
    // a corner of the tile, clear of the letter and the air outlet
    const from = { x: tile.x + 20, y: tile.y - 20 };
    await page.mouse.click(from.x, from.y);
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(engine.x + 5, engine.y + 5, { steps: 8 });
    await page.getByText(/^First answer, by rules of thumb/).waitFor();
    await page.locator(".letters .fixed").waitFor({ state: "attached" });
    await page.mouse.move(engine.x + 150, engine.y, { steps: 4 });
    await page.locator(".letters .fixed").waitFor({ state: "detached" });
    await page.mouse.up();
    await page.getByRole("button", { name: "Nothing to undo" }).waitFor();
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(engine.x, engine.y, { steps: 8 });
    await page.mouse.up();
    await takeBack(page, "Fix tile E8 to A").waitFor();
    await page.getByText(/E8 to A/).waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 120_000);

  test("light: making up for length exchanges as many strands as the core does; channels spread", async () => {
    const { context, page } = await at.demo();
    await atBundles(page, "Light");
    await solved(page);
    await page.getByLabel("Make up for length by thickness").check();
    await takeBack(page, "Make up for length by thickness").waitFor();
    const catalog = await loadCatalog();
    const job = { ...plan.job, bundles: { ...plan.job.bundles, compensateLength: true } };
    const made = bundlePlan({ ...plan, job }, { solver, figures: catalog.figures });
    const remark = made.bundles.warnings.find(({ code }) => code === "length-compensated")!;
    await page.getByText(remark.message).waitFor({ timeout: 60_000 });
    await page.getByRole("radio", { name: "Wheel", exact: true }).check({ force: true });
    await takeBack(page, "Twinkle by a wheel").waitFor();
    const loss = page.getByLabel("Attenuation of the strand dB/m");
    await loss.fill("1");
    await loss.blur();
    const figures = page.locator("li", { hasText: /dim its stars unevenly by \d\.\d\d magnitude/ });
    await figures.first().waitFor({ timeout: 60_000 });
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 180_000);

  test("the solver can be stopped, and asked again", async () => {
    const context = await at.context();
    const busy = JSON.stringify(nothingSpare(8));
    await context.route(`**/${DEMO}`, (route) => route.fulfill({ body: busy }));
    const page = await at.open(context);
    await atBundles(page);
    await page.getByText(/The solver is looking for the\s+best:\s+\d+ s of at most 8 s/).waitFor();
    // what hand rules find no place for is a first answer, and no fault
    expect(await page.locator(".missing, li.wrong").count()).toBe(0);
    await button(page, "Stop").click();
    await page.getByText("Assigned by rules of thumb.").waitFor();
    await openPart(page, "Order");
    await openSection(page, "Packs and labels");
    expect(await button(page, "Van pack (PDF)").isDisabled()).toBe(true);
    await button(page, "Solve").click();
    await solved(page);
    expect(await button(page, "Van pack (PDF)").isEnabled()).toBe(true);
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  }, 120_000);

  test("an obstacle drawn in the void sends the tails round it", async () => {
    const { context, page } = await at.demo();
    await atBundles(page, "Void and runs");
    await solved(page);
    const before = await page
      .locator(".tails path")
      .evaluateAll((all) => all.map((p) => p.getAttribute("d")));
    await button(page, "Add an obstacle").click();
    const room = (await page.locator(".room").boundingBox())!;
    await page.mouse.move(room.x + room.width * 0.25, room.y + room.height * 0.68);
    await page.mouse.down();
    await page.mouse.move(room.x + room.width * 0.3, room.y + room.height * 0.85, { steps: 4 });
    await page.mouse.up();
    await takeBack(page, "Add an obstacle in the void").waitFor();
    await page.waitForFunction(
      (old) => [...document.querySelectorAll(".tails path")].some((p, i) => p.getAttribute("d") !== old[i]),
      before,
    );
    await page.getByLabel("Underside above the tiles").fill("20 in");
    await page.getByLabel("Underside above the tiles").blur();
    await page.locator('[data-grip="obstacle:2"]').focus();
    await page.keyboard.press("Delete");
    await takeBack(page, /^Undo: Remove obstacle 3/).waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 120_000);
});

describe("order and packs in the studio", () => {
  test("a new room without an engine: a quiet plan, an order with assumed lengths, packs all the same", async () => {
    const { context, page } = await at.demo();
    await page.getByRole("button", { name: /^Job: / }).click();
    await page.getByRole("button", { name: "New room" }).click();
    await page.getByLabel("Title", { exact: true }).fill("Test room");
    for (const side of ["Width, left to right on the plan", "Depth, bottom to top on the plan"]) {
      await page.getByLabel(side).fill("13 ft");
      await page.getByLabel(side).blur();
    }
    await page.getByLabel("Grid", { exact: true }).selectOption({ label: "24 × 24 in" });
    await page.getByRole("button", { name: "Start the survey" }).click();
    await page.getByRole("heading", { name: "New room" }).waitFor({ state: "detached" });
    await openPart(page, "Bundles");
    await page.getByText("No engine yet. Put one where").waitFor();
    await page.locator('[data-count="lit"]').waitFor();
    expect(await page.locator(".letters text").count()).toBe(0);
    await openPart(page, "Order");
    await page.getByText(/every strand is counted at \d/).waitFor({ timeout: 60_000 });
    await openSection(page, "Packs and labels");
    const client = await downloaded(page, () => button(page, "Client pack (PDF)").click());
    expect(wordsOf(client.bytes)).toContain("Before you lift a tile");
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 120_000);

  test("the van pack holds every tail and tile; what a change makes stale is named, the revision raised", async () => {
    // what was made in this page counts as printed: a page of its own
    const { context, page } = await at.demo({});
    await openPart(page, "Order");
    await openSection(page, "Packs and labels");
    await solved(page);
    // a pack is made within a second: the stop is pressed as soon as it is there
    await page.evaluate(() =>
      new MutationObserver((_, observer) => {
        const stop = document.querySelector<HTMLElement>(".making button");
        if (!stop) return;
        observer.disconnect();
        stop.click();
      }).observe(document.body, { childList: true, subtree: true }),
    );
    await button(page, "Van pack (PDF)").click();
    await page.getByText("Stopped. Nothing was downloaded.").waitFor();
    const van = await downloaded(page, () => button(page, "Van pack (PDF)").click());
    expect(van.name).toBe("harbour-dining-room-van.pdf");
    const words = wordsOf(van.bytes);
    for (const { name } of bundles.tails) expect(words, name).toMatch(new RegExp(`\\b${name}\\b`));
    for (const tile of new Set(plan.pattern.holes.map((h) => h.tile)))
      expect(words.match(new RegExp(`^ *Tile ${tile}: \\d+ holes`, "gm")), tile).toHaveLength(1);
    const quote = await downloaded(page, () => button(page, "Quote (PDF)").click());
    expect(wordsOf(quote.bytes)).toContain("HST");
    const region = page.getByRole("region", { name: "Revision and stale sheets" });
    await region.getByText(/nothing that is printed differs/).waitFor();
    await openPart(page, "Bundles");
    await openSection(page, "Tiles to engines");
    await page.locator('[data-grip="tile:G9"]').click();
    await page.getByRole("radio", { name: "A", exact: true }).check({ force: true });
    await solved(page);
    await openPart(page, "Order");
    await openSection(page, "Packs and labels");
    await region.getByText(/Tiles affected: .*G9/).waitFor({ timeout: 60_000 });
    await region.getByText(/Stale: van.pdf/).waitFor();
    await button(page, "Raise the revision to 2").click();
    await takeBack(page, "Set the revision").waitFor();
    await page.getByText("Revision 2, and what is stale").waitFor();
    await button(page, "Raise the revision to 2").waitFor({ state: "detached" });
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  }, 240_000);

  test("prices, rates, weights and fabric answer at once; what is over says by how much", async () => {
    const { context, page } = await at.demo();
    await openPart(page, "Order");
    await openSection(page, "Fabric");
    await page.locator('[data-count="gross"]').waitFor({ timeout: 60_000 });
    const roll = page.getByLabel("Width of the roll");
    await roll.fill("20 in");
    await roll.blur();
    await page.getByText(/usable: .*" too narrow/).waitFor();
    await takeBack(page, "Set the roll's width").click();
    await page.getByText(/too narrow/).waitFor({ state: "detached" });
    await openSection(page, "Weight");
    await page.getByRole("radio", { name: "Light", exact: true }).check({ force: true });
    await page.getByLabel("Tile as it was lb/sq ft").fill("1.5");
    await page.getByLabel("Tile as it was lb/sq ft").blur();
    await page.getByText(/lb\/ft too much/).waitFor();
    await openSection(page, "Hours");
    const poke = page.getByLabel("Holes punched, an hour");
    await poke.fill("0");
    await poke.blur();
    await page.getByText(/0 for punch/i).waitFor();
    await takeBack(page, "Set the punching rate").click();
    const before = Number(await page.locator('[data-count="clock"]').innerText().then(parseFloat));
    await page.getByRole("radio", { name: "One person" }).check({ force: true });
    await page.waitForFunction(
      (hours) => parseFloat(document.querySelector('[data-count="clock"]')?.textContent ?? "") > hours * 1.5,
      before,
    );
    await solved(page);
    await openSection(page, "Price");
    const net = await page.locator('[data-quote="net"]').innerText();
    await page.getByLabel("Tax %").fill("0");
    await page.getByLabel("Tax %").blur();
    await page.waitForFunction(
      (words) => document.querySelector('[data-quote="gross"]')?.textContent === words,
      net,
    );
    await page.getByLabel("Currency (ISO 4217)").fill("e1");
    await page.getByLabel("Currency (ISO 4217)").blur();
    await page.getByText(/three letters/).waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 120_000);
});
