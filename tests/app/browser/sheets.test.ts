import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { unzipSync } from "fflate";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { loadCatalog } from "../../../src/cli/catalogFiles.ts";
import type { Planned } from "../../../src/plan.ts";
import { planJob } from "../../../src/work/planJob.ts";
import { countSheets, printingOf } from "../../../src/sheets/laid.ts";
import { PAPERS } from "../../../src/sheets/papers.ts";
import { contents, scratch, velarium } from "../../cli/run.ts";
import { demoJob } from "../demoJob.ts";
import { barsOf, readPdf, withFile } from "../../sheets/readPdf.ts";
import { downloaded, openPart, openSection, takeBack } from "./hands.ts";
import { stand, type Stand, wrongsOf } from "./harness.ts";

let at: Stand;
let plan: Planned;
beforeAll(async () => {
  plan = planJob(demoJob(), await loadCatalog());
  at = await stand();
});
afterAll(() => at.close());

/** The design's bound for a mark on the page against holes.csv. */
const MARK_TOLERANCE_MM = 0.05;

async function atSheets(page: Page, section: string): Promise<void> {
  await openPart(page, "Sheets");
  await openSection(page, section);
}
const button = (page: Page, name: string | RegExp) => page.getByRole("button", { name, exact: true });

/** A PDF with nothing compressed. */
function unpackedPdf(bytes: Uint8Array): Buffer {
  return withFile("packed.pdf", bytes, (path) => {
    expect(spawnSync("mutool", ["clean", "-d", path, `${path}.plain`]).status).toBe(0);
    return readFileSync(`${path}.plain`);
  });
}

describe("sheets in the studio", () => {
  test("issued tiles stay as they are when the pattern is changed and when the design is undone", async () => {
    const { context, page } = await at.demo();
    const holesOf = async (tile: string): Promise<string[]> => {
      await openSection(page, "Download");
      await page.locator("button:enabled", { hasText: "Holes (CSV)" }).waitFor({ timeout: 60_000 });
      const { bytes } = await downloaded(page, () => button(page, "Holes (CSV)").click());
      const lines = new TextDecoder().decode(bytes).split("\n");
      return lines.filter((line) => line.split(",")[1] === tile);
    };
    await atSheets(page, "Issue");
    await page.locator("button:enabled", { hasText: /Issue all/ }).waitFor({ timeout: 60_000 });
    await page.getByLabel("One tile").selectOption("D6");
    await button(page, "Issue D6").click();
    await page.getByText("Issued: D6.").waitFor({ timeout: 60_000 });
    expect(await page.locator("[data-issued]").innerText()).toMatch(
      /^Revision 1, \d{4}-\d\d-\d\d: 1 tile \(D6\)/,
    );
    const before = await holesOf("D6");
    expect(before.length).toBeGreaterThan(3);

    await openPart(page, "Pattern");
    await openSection(page, "Faint stars");
    await button(page, "Draw others").click();
    await openPart(page, "Sheets");
    expect(await holesOf("D6")).toEqual(before);
    await page.keyboard.press("Control+z");
    await openSection(page, "Issue");
    await page.getByText("1 tile (D6)").waitFor();
    await button(page, "No longer issued").click();
    await page.getByText("Look at the bench first").waitFor();
    await button(page, "Nobody has started D6: go on").click();
    await page.getByText("Nothing is issued yet").waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 240_000);

  test("every paper with its count of sheets, as the core counts them", async () => {
    const { context, page } = await at.demo();
    await atSheets(page, "Paper and sides");
    await page.getByText("quickest").first().waitFor();
    for (const paper of PAPERS) {
      const row = page.locator("label", {
        has: page.getByRole("radio", { name: new RegExp(`^${paper.name} `) }),
      });
      expect(await row.locator(".pages").innerText(), paper.name).toContain(
        String(countSheets(plan, printingOf(plan.job, { paper: paper.name })).sheets),
      );
    }
    await page.getByRole("radio", { name: /^A3 / }).check({ force: true });
    await takeBack(page, "Print on A3").waitFor();
    await page.getByRole("radio", { name: "Back" }).check({ force: true });
    await takeBack(page, "Choose the sides to print").waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("the zip holds byte for byte what `velarium plan` writes for the demo", async () => {
    const folder = scratch();
    const ran = await velarium([
      "plan",
      "demo/harbour-dining-room.velarium.json",
      "--out",
      folder.path("plan"),
    ]);
    expect(ran.code, ran.err).toBe(0);
    const written = contents(folder.path("plan"));
    folder.remove();
    // the list of what was written goes with a folder, not with a zip
    written.delete("files.sha256");
    const { context, page } = await at.demo();
    await atSheets(page, "Download");
    await button(page, "Everything (zip)").isEnabled();
    const zip = await downloaded(page, () => button(page, "Everything (zip)").click());
    expect(zip.name).toBe("harbour-dining-room-all.zip");
    const files = unzipSync(zip.bytes);
    expect(Object.keys(files).sort()).toEqual([...written.keys()].sort());
    // pdfkit packs with zlib in Node and with fflate in the browser; unpacked by MuPDF they are the same bytes.
    const plain = (path: string, bytes: Uint8Array): Buffer =>
      path.endsWith(".pdf") ? unpackedPdf(bytes) : Buffer.from(bytes);
    const differing = [...written].filter(
      ([path, bytes]) => !plain(path, files[path]!).equals(plain(path, bytes)),
    );
    expect(differing).toEqual([]);
    const csv = await downloaded(page, () => button(page, "Holes (CSV)").click());
    expect(Buffer.from(csv.bytes).equals(written.get("holes.csv")!)).toBe(true);
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 240_000);

  test("one tile as PDF, SVG and DXF: each hole is where holes.csv has it, measured by MuPDF", async () => {
    const { context, page } = await at.demo();
    await atSheets(page, "Paper and sides");
    await page.getByText("quickest").first().waitFor();
    await page.getByRole("radio", { name: /^Roll 36 in / }).check({ force: true });
    await openSection(page, "Download");
    await page.getByLabel("Tile", { exact: true }).selectOption("D6");
    const pdf = await downloaded(page, () => button(page, "D6 (PDF)").click());
    expect(pdf.name).toBe("harbour-dining-room-templates-back-D6.pdf");
    const pages = readPdf(pdf.bytes);
    expect(pages).toHaveLength(1);
    const holes = plan.pattern.holes.filter((h) => h.tile === "D6");
    const dots = pages[0]!.dots;
    // Where every hole lies from the first one says nothing of the margins, and all of the scale.
    const first = holes[0]!;
    const best = Math.min(
      ...dots.map((origin) =>
        Math.max(
          ...holes.map((hole) => {
            const x = origin.x + hole.tileXMm - first.tileXMm;
            const y = origin.y + hole.tileYMm - first.tileYMm;
            return Math.min(...dots.map((dot) => Math.hypot(dot.x - x, dot.y - y)));
          }),
        ),
      ),
    );
    expect(best).toBeLessThanOrEqual(MARK_TOLERANCE_MM);
    for (const [p, q] of barsOf(pages[0]!)) {
      // paper as long as a roll carries the long bar
      expect(Math.hypot(p![0] - q![0], p![1] - q![1])).toBeCloseTo(300, 2);
    }
    const svg = await downloaded(page, () => button(page, "D6 (SVG)").click());
    expect(new TextDecoder().decode(svg.bytes)).toMatch(/^<svg [^>]*mm"/);
    const dxf = await downloaded(page, () => button(page, "D6 (DXF)").click());
    expect(new TextDecoder().decode(dxf.bytes)).toContain("SECTION");
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("the printer test: measured bars correct the next print, page and templates alike", async () => {
    const { context, page } = await at.demo();
    await atSheets(page, "Printer test");
    const bars = (bytes: Uint8Array): number[] =>
      barsOf(readPdf(bytes)[0]!).map(([p, q]) => Math.hypot(p![0] - q![0], p![1] - q![1]));
    const plain = await downloaded(page, () => button(page, "Test page (PDF)").click());
    const raw = bars(plain.bytes);
    expect(raw).toHaveLength(2);
    for (const length of raw) expect(length).toBeCloseTo(150, 3);
    const x = page.getByLabel("x, across the sheet");
    await x.fill("149.25");
    await x.blur();
    await takeBack(page, "Set the bar across").waitFor();
    const y = page.getByLabel("y, along the sheet");
    await y.fill("5 7/8 in");
    await y.blur();
    await page.getByText(/prints 3.0 mm short over 600 mm; the next print is stretched by 1.0050/).waitFor();
    await y.fill("144");
    await y.blur();
    await page.getByText(/A print dialog has most likely scaled the page/).waitFor();
    await y.fill("90");
    await y.blur();
    await page.getByText(/can't have come out at 90 mm/).waitFor();
    await y.fill("150.6");
    await y.blur();
    await page.getByText(/prints 2.4 mm long over 600 mm/).waitFor();
    const corrected = await downloaded(page, () => button(page, "Corrected test page (PDF)").click());
    // on a printer that draws 149.25 for 150 a line of 150 · 150 / 149.25 comes out at 150
    const made = bars(corrected.bytes).sort((a, b) => a - b);
    expect(made[0]! * (150.6 / 150)).toBeCloseTo(150, 3);
    expect(made[1]! * (149.25 / 150)).toBeCloseTo(150, 3);
    await button(page, "Another printer: forget this measure").click();
    await page.getByText(/No correction/).waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("every sheet can be looked through; a tap on a tile turns to its sheets", async () => {
    const { context, page } = await at.demo();
    await atSheets(page, "Look through");
    const image = page.locator("main img");
    await image.waitFor();
    expect(await image.getAttribute("alt")).toContain("Whole ceiling, BACK (read from above)");
    const drawn = (): Promise<number> => image.evaluate((i) => (i as HTMLImageElement).naturalWidth);
    expect(await drawn()).toBeGreaterThan(100);
    for (let sheet = 2; sheet <= 8; sheet++) {
      await button(page, "Next sheet").click();
      await page.locator(`main img[data-sheet="${sheet}"]`).waitFor();
      await image.evaluate((i) => (i as HTMLImageElement).decode());
      expect(await drawn()).toBeGreaterThan(100);
    }
    await openSection(page, "Paper and sides");
    await page.locator('[data-grip="tile:E5"]').click();
    await page.locator('main img[alt^="Tile E5, BACK"]').waitFor();
    const list = page.getByRole("list", { name: "Sheets" }).getByRole("button");
    // its face is one check sheet, after all of its back
    await list.last().click();
    await page.locator('main img[alt^="Tile E5, FACE"]').waitFor();
    await list.nth((await list.count()) - 2).click();
    await page.locator('main img[alt^="Tile E5, BACK"]').waitFor();
    const last = Number(await image.getAttribute("data-sheet"));
    await page.getByRole("group", { name: /^Sheet \d+ of \d+: Tile E5, BACK/ }).focus();
    await page.keyboard.press("PageUp");
    await page.locator(`main img[data-sheet="${last - 1}"][alt^="Tile E5, BACK"]`).waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("making can be stopped; what a change makes stale is named tile by tile, and undone again", async () => {
    // a page of its own, that lists no download of another test
    const { context, page } = await at.demo({});
    await atSheets(page, "Download");
    await page.getByRole("button", { name: "Everything (zip)", disabled: false }).click();
    await page.getByText(/Everything: [1-9]\d* of \d+ tiles drawn/).waitFor();
    await button(page, "Stop").click();
    await page.getByText("Stopped. Nothing was downloaded.").waitFor();
    await page.getByLabel("Tile", { exact: true }).selectOption("D6");
    await downloaded(page, () => button(page, "D6 (PDF)").click());
    await downloaded(page, () => button(page, "Holes (CSV)").click());
    const list = page.getByRole("region", { name: "Downloaded" });
    await list.getByText("templates-back-D6.pdf").waitFor();
    expect(await list.getByText(/Stale|changed since/).count()).toBe(0);
    await openPart(page, "Pattern");
    await openSection(page, "By hand");
    await button(page, "Forget: Fawaris (δ Cyg), " + (await page.getByText(/^pinned /).innerText())).click();
    await atSheets(page, "Download");
    await list
      .getByText(/Stale: the holes of .*D5.* are no longer these/)
      .first()
      .waitFor();
    await button(page, "Raise the revision to 2").click();
    await takeBack(page, "Set the revision").click();
    await takeBack(page, "Forget a pin").click();
    await list
      .getByText(/Stale|changed since/)
      .first()
      .waitFor({ state: "detached" });
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  });
});
