import { readFileSync, writeFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { scratch, velarium } from "../../cli/run.ts";
import { barsOf, readPdf, type ReadPage } from "../../sheets/readPdf.ts";
import { downloaded, openPart, openSection, takeBack, waitForTally } from "./hands.ts";
import { kept, ready, stand, type Stand, wrongsOf } from "./harness.ts";

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

/** DEVELOPERS.md, "Numbers to hold": a hole on the printed page against holes.csv. */
const MARK_TOLERANCE_MM = 0.05;

const enter = async (page: Page, label: string | RegExp, text: string): Promise<void> => {
  const field = page.getByRole("textbox", { name: label });
  await field.fill(text);
  await field.blur();
};
const button = (page: Page, name: string | RegExp) => page.getByRole("button", { name, exact: true });

interface CsvHole {
  tile: string;
  star: string;
  x: number;
  y: number;
  tileX: number;
  tileY: number;
}

/** No field of this job's table holds a comma, so splitting is reading. */
function readHoles(csv: string): CsvHole[] {
  const [header, ...rows] = csv.trimEnd().split("\r\n");
  const names = header!.split(",");
  return rows.map((row) => {
    const cells = row.split(",");
    expect(cells).toHaveLength(names.length);
    const cell = (name: string): string => cells[names.indexOf(name)]!;
    return {
      tile: cell("tile"),
      star: cell("star"),
      x: Number(cell("x_mm")),
      y: Number(cell("y_mm")),
      tileX: Number(cell("tile_x_mm")),
      tileY: Number(cell("tile_y_mm")),
    };
  });
}

/** Largest distance from a hole of the table to a mark on the page, after the best shift of the whole. */
function farthestMark(page: ReadPage, holes: CsvHole[]): number {
  const first = holes[0]!;
  const misses = page.dots.map((origin) =>
    Math.max(
      ...holes.map((hole) => {
        const x = origin.x + hole.tileX - first.tileX;
        const y = origin.y + hole.tileY - first.tileY;
        return Math.min(...page.dots.map((dot) => Math.hypot(dot.x - x, dot.y - y)));
      }),
    ),
  );
  return Math.min(...misses);
}

describe("the whole job, as an installer does it", () => {
  test("new room, survey, two nights compared, pattern, a pinned star, sheets measured, reload, undo", async () => {
    const context = await at.context();
    const page = await at.open(context);

    // A new room, surveyed in feet and inches.
    await page.getByRole("button", { name: /^Job: Harbour/ }).click();
    await button(page, "New room").click();
    await page.getByLabel("Title", { exact: true }).fill("Captain's snug");
    await enter(page, "Width, left to right on the plan", `12' 7 1/2"`);
    await enter(page, "Depth, bottom to top on the plan", "9ft 8in");
    await page.getByLabel("Grid", { exact: true }).selectOption({ label: "24 × 24 in" });
    await button(page, "Start the survey").click();
    await page.getByRole("button", { name: /^Job: Captain's snug/ }).waitFor();
    await ready(page);
    await enter(page, "Name of wall 3", "window wall");
    await enter(page, "Ceiling height", `8' 3"`);
    await openSection(page, "No-go zones");
    await page.getByLabel("Add a no-go zone").selectOption({ label: "Sprinkler head" });
    await button(page, "Put it in the middle").click();
    await enter(page, "Middle, from wall 2", `8' 6 1/2"`);
    await enter(page, "Middle, from wall 1", `3' 2 1/2"`);
    await openSection(page, "Tile uses");
    await enter(page, /Or name the tiles/, "A1");
    await takeBack(page, "Make tile A1 fabric only").waitFor();

    // Two nights side by side, the other one chosen.
    await openPart(page, "Night");
    await openSection(page, "Nights");
    await page.getByRole("button", { name: "Copy Not chosen yet" }).click();
    await takeBack(page, /^Undo: Copy .*Not chosen yet/).waitFor();
    const compared = page.getByRole("checkbox", { name: /^Compare / });
    for (const i of [0, 1]) if (!(await compared.nth(i).isChecked())) await compared.nth(i).check();
    await button(page, "Side by side").click();
    const first = page.getByRole("article", { name: /Not chosen yet(?!, again)/ });
    await first.locator("dd").first().waitFor();
    expect(await page.getByRole("article").count()).toBe(2);
    await first.getByRole("button", { name: "Choose this night" }).click();
    await takeBack(page, /^Undo: Choose .*Not chosen yet/i).waitFor();
    await button(page, "Back to the drawing").click();

    // The pattern: fewer strands, wider spacing, a star pinned by number.
    await openPart(page, "Pattern");
    await openSection(page, "Strands");
    await page.getByLabel("Strands to use").fill("620");
    await page.getByLabel("Strands to use").blur();
    await waitForTally(page, "used", 620);
    await openSection(page, "Placing holes");
    await page.getByLabel("Smallest spacing of holes, mm").fill("10");
    await page.getByLabel("Smallest spacing of holes, mm").blur();
    await openSection(page, "By hand");
    await page.locator('[data-grip="holecursor"]').waitFor({ state: "attached" });
    // Rigel, HIP 24436 (Hipparcos catalogue), stands high at the equator on a January midnight.
    await page.getByLabel("Find a star, a constellation or a hole").fill("HIP 24436");
    await page.getByLabel("Find a star, a constellation or a hole").press("Enter");
    await page.getByRole("heading", { name: /Rigel/ }).waitFor();
    await page.locator('[data-grip="hole"]').focus();
    await page.keyboard.press("Shift+ArrowLeft");
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Enter");
    await takeBack(page, /^Undo: Pin Rigel/).waitFor();

    // Sheets: the table, one tile on a roll, all measured against what the command line makes of the job file.
    await openPart(page, "Sheets");
    await openSection(page, "Paper and sides");
    await page.getByText("quickest").first().waitFor();
    await page.getByRole("radio", { name: /^Roll 36 in / }).check({ force: true });
    await openSection(page, "Download");
    await page.getByRole("button", { name: /^Back \(PDF/, disabled: false }).waitFor();
    const jobFile = await downloaded(page, () => button(page, "Job file").click());
    const csv = await downloaded(page, () => button(page, "Holes (CSV)").click());
    const folder = scratch();
    writeFileSync(folder.path("job.json"), jobFile.bytes);
    const ran = await velarium(["plan", folder.path("job.json"), "--out", folder.path("plan")]);
    expect(ran.code, ran.err).toBe(0);
    expect(Buffer.from(csv.bytes).equals(readFileSync(folder.path("plan/holes.csv")))).toBe(true);
    folder.remove();

    const holes = readHoles(new TextDecoder().decode(csv.bytes));
    const rows = new TextDecoder().decode(csv.bytes).trim().split("\r\n").slice(1);
    expect(rows.reduce((sum, row) => sum + Number(row.split(",").at(-2)), 0)).toBe(620);
    const rigel = holes.find((hole) => hole.star === "24436")!;
    expect(holes.some((hole) => hole.tile === "A1")).toBe(false);
    await page.getByLabel("Tile", { exact: true }).selectOption(rigel.tile);
    const pdf = await downloaded(page, () => button(page, `${rigel.tile} (PDF)`).click());
    const pages = readPdf(pdf.bytes);
    expect(pages).toHaveLength(1);
    expect(
      farthestMark(
        pages[0]!,
        holes.filter((hole) => hole.tile === rigel.tile),
      ),
    ).toBeLessThanOrEqual(MARK_TOLERANCE_MM);
    expect(barsOf(pages[0]!)).toHaveLength(2);
    for (const [p, q] of barsOf(pages[0]!)) {
      // paper as long as a roll carries the long bar
      expect(Math.hypot(p![0] - q![0], p![1] - q![1])).toBeCloseTo(300, 2);
    }
    expect(pages[0]!.texts.some(({ words }) => words === "BACK")).toBe(true);

    // The next morning: everything is as it was, and every step can still be taken back.
    await kept(page);
    await page.waitForTimeout(200);
    await page.reload();
    await ready(page);
    expect(await page.title()).toContain("Captain's snug");
    await openPart(page, "Pattern");
    await openSection(page, "By hand");
    const pin = page.getByRole("button", { name: /Rigel.*pinned/ });
    await pin.first().waitFor();
    await takeBack(page, "Print on Roll 36 in").click();
    await takeBack(page, /^Undo: Pin Rigel/).click();
    await pin.first().waitFor({ state: "detached" });
    await takeBack(page, "Set the smallest spacing").click();
    await openSection(page, "Placing holes");
    expect(await page.getByLabel("Smallest spacing of holes, mm").inputValue()).toBe("8");
    await waitForTally(page, "used", 620);
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  }, 180_000);

  test("on a phone: a star pinned with the thumb, a sheet looked at and downloaded", async () => {
    const context = await at.context({
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
    });
    const page = await at.open(context);
    await openPart(page, "Pattern");
    await openSection(page, "By hand");
    await page.locator('[data-grip="holecursor"]').waitFor({ state: "attached" });
    await page.getByLabel("Find a star, a constellation or a hole").fill("Vega");
    await page.getByLabel("Find a star, a constellation or a hole").press("Enter");
    await button(page, "Show it near").tap();
    const grip = page.locator('[data-grip="hole"]');
    await grip.waitFor();
    const box = (await grip.locator(".dot").boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const touch = await context.newCDPSession(page);
    const finger = (type: string, dx: number) =>
      touch.send("Input.dispatchTouchEvent", {
        type: type as "touchStart",
        touchPoints: type === "touchEnd" ? [] : [{ x: x + dx, y }],
      });
    await finger("touchStart", 0);
    await finger("touchMove", 12);
    await finger("touchMove", 22);
    await finger("touchEnd", 22);
    await takeBack(page, /^Undo: Pin Vega/).waitFor();
    await openPart(page, "Sheets");
    await openSection(page, "Look through");
    await page.locator("main img").waitFor();
    await button(page, "Next sheet").tap();
    await page.locator('main img[alt*="FACE"]').waitFor();
    await openSection(page, "Download");
    const csv = await downloaded(page, () => button(page, "Holes (CSV)").tap());
    expect(csv.name).toBe("harbour-dining-room-holes.csv");
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  });

  test("with the keyboard alone: from the pattern's slider to a printed sheet", async () => {
    const context = await at.context();
    const page = await at.open(context);
    /** Tabs on until what has the focus answers to the name. */
    const tabTo = async (name: RegExp): Promise<void> => {
      for (let i = 0; i < 120; i++) {
        await page.keyboard.press("Tab");
        const words = await page.evaluate(() => {
          const here = document.activeElement;
          const label = here instanceof HTMLInputElement ? (here.labels?.[0]?.textContent ?? "") : "";
          return [here?.getAttribute("aria-label"), label, here?.textContent].find((w) => w?.trim()) ?? "";
        });
        if (name.test(words.trim())) return;
      }
      throw new Error(`Tab never reaches ${String(name)}`);
    };
    await tabTo(/^Pattern$/);
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: /Strands/ }).waitFor();
    await tabTo(/^Placing holes/);
    await page.keyboard.press("Enter");
    await tabTo(/^Reach: how far/);
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowRight");
    await takeBack(page, "Set the reach").waitFor();
    await page.waitForFunction(() => document.activeElement?.getAttribute("aria-valuetext") === "27 mm");
    await page.keyboard.press("Control+z");
    // two presses in a row are one step
    await page.getByRole("button", { name: "Nothing to undo" }).waitFor();
    await page.keyboard.press("Shift+Tab");
    await tabTo(/^Tile by tile/);
    await page.evaluate(() => (document.activeElement as HTMLElement).blur());
    await tabTo(/^Sheets$/);
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: /Paper and sides/ }).waitFor();
    await page.getByText("quickest").first().waitFor();
    await tabTo(/^Download/);
    await page.keyboard.press("Enter");
    await tabTo(/^Holes \(CSV\)/);
    const csv = await downloaded(page, () => page.keyboard.press("Enter"));
    expect(new TextDecoder().decode(csv.bytes)).toMatch(/^hole,tile,number,kind,star/);
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  });
});
