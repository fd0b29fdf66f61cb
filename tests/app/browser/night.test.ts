import { readFileSync } from "node:fs";
import type { BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { stand, type Stand, wrongsOf } from "./harness.ts";

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

async function openNight(
  options?: Parameters<Stand["context"]>[0],
): Promise<{ context: BrowserContext; page: Page }> {
  const { context, page } = await at.demo(options);
  await page.getByRole("button", { name: "Night", exact: true }).click();
  await page.locator("canvas.sky[data-painted]").waitFor();
  await page.getByRole("slider", { name: "Hour of the night" }).waitFor();
  return { context, page };
}

const section = (page: Page, name: string) =>
  page
    .getByRole("button", { name: new RegExp(`^${name}`) })
    .first()
    .click();
const undo = (page: Page) => page.getByRole("button", { name: /^Undo: / });
const painted = (page: Page): Promise<number> =>
  page.evaluate(() => Number(document.querySelector<HTMLElement>("canvas.sky")?.dataset["painted"]));

describe("a night in the studio", () => {
  test("a place is found without a network, brings its clock, and can be taken back", async () => {
    const { context, page } = await openNight({ serviceWorkers: "allow" });
    await page.evaluate(async () => navigator.serviceWorker.ready);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    await context.setOffline(true);
    await page.getByRole("combobox", { name: "Place" }).fill("reykjavik");
    await page.getByRole("option", { name: /Reykjavík/ }).waitFor();
    await page.keyboard.press("Enter");
    await page.locator(".place .now", { hasText: "Reykjavík" }).waitFor();
    expect(await page.getByLabel("By the clocks of").inputValue()).toBe("Atlantic/Reykjavik");
    await page.getByText("UTC+00:00").first().waitFor();
    expect(await undo(page).getAttribute("aria-label")).toMatch(/Go to Reykjavík/);
    await undo(page).click();
    await page.locator(".place .now", { hasText: "Lunenburg" }).waitFor();
    await context.close();
  });

  // America/Halifax put its clocks back at 2:00 on 4 November 2029 and forward at 2:00 on 11 March 2029 (IANA tzdata).
  test("an hour that came twice, and one that never came, are asked about in words", async () => {
    const { context, page } = await openNight();
    await page.getByLabel("Time", { exact: true }).fill("01:30");
    await page.getByLabel("Date", { exact: true }).fill("4 November 2029");
    await page.keyboard.press("Enter");
    await page.getByText("01:30 came twice that night.").waitFor();
    await page.getByRole("button", { name: /The second, after/ }).click();
    await page.getByText("UTC−04:00").first().waitFor();
    expect(await page.getByText("came twice").count()).toBe(0);
    await page.getByLabel("Time", { exact: true }).fill("02:30");
    await page.getByLabel("Date", { exact: true }).fill("2029-03-11");
    await page.keyboard.press("Enter");
    await page.getByText("Clocks there never showed 02:30.").waitFor();
    await page.getByRole("button", { name: /03:30, after/ }).click();
    await page.waitForFunction(
      () => document.querySelector<HTMLInputElement>("input[type=time]")?.value === "03:30",
    );
    await page.getByText("UTC−03:00").first().waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("the sky follows the time slider, and one drag is one step", async () => {
    const { page } = await openNight();
    const box = (await page.getByRole("slider", { name: "Hour of the night" }).boundingBox())!;
    const y = box.y + box.height / 2;
    const before = await painted(page);
    await page.mouse.move(box.x + box.width * 0.37, y);
    await page.mouse.down();
    for (let i = 1; i <= 40; i++) await page.mouse.move(box.x + box.width * (0.37 + i * 0.005), y);
    await page.mouse.up();
    await page.waitForTimeout(300);
    expect((await painted(page)) - before).toBeGreaterThan(10);
    const time = await page.getByLabel("Time", { exact: true }).inputValue();
    expect(time).not.toBe("22:00");
    expect(await undo(page).getAttribute("aria-label")).toBe("Undo: Change the time");
    await undo(page).click();
    await page.waitForFunction(
      () => document.querySelector<HTMLInputElement>("input[type=time]")?.value === "22:00",
    );
    expect(await undo(page).count()).toBe(0);
    await page.getByRole("slider", { name: "Hour of the night" }).press("ArrowRight");
    await page.waitForFunction(
      () => document.querySelector<HTMLInputElement>("input[type=time]")?.value === "22:05",
    );
    at.back(page);
  });

  test("the sky is dragged on the ceiling; rim and turn go by hand, by keys and by numbers", async () => {
    const { context, page } = await openNight();
    await section(page, "Which part of the sky");
    const room = (await page.locator(".room").first().boundingBox())!;
    const [x, y] = [room.x + room.width * 0.4, room.y + room.height * 0.75];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 20, y - 60, { steps: 6 });
    await page.mouse.up();
    await page.getByRole("button", { name: "Undo: Look another way" }).waitFor();
    expect(Number(await page.getByLabel("Altitude °").inputValue())).toBeLessThan(85);
    await page.getByRole("button", { name: /^Turn of the sky/ }).press("ArrowRight");
    await page.getByRole("button", { name: "Undo: Turn the sky" }).waitFor();
    expect(await page.getByLabel("Rotation °").inputValue()).toBe("1");
    const rim = page.getByRole("button", { name: /^Edge of the sky/ });
    const grip = (await rim.boundingBox())!;
    await page.mouse.move(grip.x + grip.width / 2, grip.y + grip.height / 2);
    await page.mouse.down();
    await page.mouse.move(grip.x + grip.width / 2 - 40, grip.y + grip.height / 2 + 30, { steps: 5 });
    await page.mouse.up();
    await page.getByRole("button", { name: "Undo: Draw the edge" }).waitFor();
    await page.getByRole("button", { name: "Edge through the corners again" }).click();
    await page.getByLabel("Middle to edge °").fill("50");
    await page.getByLabel("Middle to edge °").blur();
    await page.getByRole("button", { name: "Undo: Change how much sky there is" }).waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("two nights side by side from one seat, with the same facts; one is chosen; the board is made", async () => {
    // what is compared and found stays on the desk: a page of its own
    const { context, page } = await openNight({});
    await section(page, "Nights");
    await page.getByRole("button", { name: "Copy The night the dining room reopens" }).click();
    await page.getByRole("button", { name: "Choose A winter evening" }).waitFor();
    await page.getByRole("checkbox", { name: /Compare The night the dining room reopens$/ }).check();
    await page.getByRole("checkbox", { name: /Compare A winter evening/ }).check();
    await page.getByRole("button", { name: "Side by side" }).click();
    const nights = page.locator(".wall article");
    await nights.locator("dl").nth(1).waitFor();
    expect(await nights.count()).toBe(2);
    const rows = await nights
      .locator("dl")
      .evaluateAll((lists) =>
        lists.map((list) => [...list.querySelectorAll("dt")].map((dt) => dt.textContent)),
      );
    expect(rows[0]).toEqual(rows[1]);
    expect(rows[0]!.length).toBeGreaterThanOrEqual(8);
    await page.locator(".wall canvas[data-drawn]").nth(1).waitFor();
    const [first, second] = await page
      .locator(".wall canvas")
      .evaluateAll((all) => all.map((canvas) => canvas.getBoundingClientRect().width));
    expect(first).toBe(second);
    await page
      .getByRole("article", { name: /A winter evening/ })
      .getByRole("button", { name: "Choose this night" })
      .click();
    await page.getByRole("button", { name: /^Undo: Choose “A winter evening/ }).waitFor();
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "PNG, 16:9" }).click(),
    ]);
    const png = readFileSync(await file.path());
    expect(png.subarray(1, 4).toString()).toBe("PNG");
    // a page of 16:9 for each of the two nights, one under the other
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([2560, 2 * 1440]);
    const [board] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "PDF, A3" }).click(),
    ]);
    const pdf = readFileSync(await board.path()).toString("latin1");
    expect(pdf.startsWith("%PDF-")).toBe(true);
    // ISO 216 A3 in points
    expect(pdf).toMatch(/MediaBox \[0 0 1190\.55\d* 841\.88\d*\]/);
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  });

  test("the scene shows its bright strands where the holes are, and dims, stills and lights up", async () => {
    const { context, page } = await openNight({
      viewport: { width: 1280, height: 800 },
      reducedMotion: "reduce",
    });
    await section(page, "How it will look");
    const canvas = page.locator(".scene canvas");
    await page.locator(".scene canvas[data-drawn]").waitFor();
    await page.waitForFunction(
      () => Number(document.querySelector<HTMLElement>(".scene canvas")?.dataset["ready"]) >= 2,
    );
    await page.waitForTimeout(200);
    const told = JSON.parse((await canvas.getAttribute("data-brightest"))!) as {
      name: string;
      xPx: number;
      yPx: number;
    }[];
    expect(told.length).toBeGreaterThan(5);
    const light = await canvas.evaluate((element, spots) => {
      const picture = element as HTMLCanvasElement;
      const pen = picture.getContext("2d")!;
      const levels = (x: number, y: number, half: number): number[] => {
        const { data } = pen.getImageData(
          Math.round(x) - half,
          Math.round(y) - half,
          2 * half + 1,
          2 * half + 1,
        );
        return [...data].filter((_, i) => i % 4 === 1);
      };
      const sorted = [...pen.getImageData(0, 0, picture.width, picture.height).data]
        .filter((_, i) => i % 4 === 1)
        .sort((a, b) => a - b);
      return {
        median: sorted[Math.floor(sorted.length / 2)]!,
        spots: spots.map(({ xPx, yPx }) => ({
          core: Math.max(...levels(xPx, yPx, 1)),
          around: Math.max(...levels(xPx, yPx, 4)),
        })),
      };
    }, told);
    for (const [i, spot] of light.spots.entries()) {
      expect(spot.core, told[i]!.name).toBeGreaterThan(light.median + 60);
      // the strand's own pixel is the brightest of its neighbourhood, or nearly so
      expect(spot.core, told[i]!.name).toBeGreaterThan(0.75 * spot.around);
    }
    // reduced motion: nothing is drawn again by itself
    const drawn = await canvas.getAttribute("data-drawn");
    await page.waitForTimeout(400);
    expect(await canvas.getAttribute("data-drawn")).toBe(drawn);
    await page.getByRole("button", { name: "Twinkle" }).click();
    await page.waitForFunction(
      (before) =>
        Number(document.querySelector<HTMLElement>(".scene canvas")?.dataset["drawn"]) > Number(before) + 3,
      drawn,
    );
    await page.getByRole("button", { name: "Stop twinkling" }).click();
    await page.getByText("Lights on", { exact: true }).click();
    await page.getByText("The ceiling with the lights on", { exact: true }).waitFor();
    await page.getByRole("button", { name: "corner", exact: true }).click();
    await page.getByText(/^from corner, eye/).waitFor();
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "Sky sheet (PDF)" }).click(),
    ]);
    expect(
      readFileSync(await file.path())
        .subarray(0, 5)
        .toString(),
    ).toBe("%PDF-");
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  });

  test("a wish is searched with progress, can be stopped, and a proposal is taken by one press", async () => {
    // what is compared and found stays on the desk: a page of its own
    const { context, page } = await openNight({});
    await section(page, "Find a night");
    await page.getByLabel("Add a constellation").selectOption({ label: "Cygnus" });
    await page.getByRole("button", { name: "Find nights" }).click();
    await page.getByRole("progressbar", { name: "Search" }).waitFor();
    await page.getByRole("button", { name: "Stop", exact: true }).click();
    await page.getByRole("button", { name: "Find nights" }).click();
    await page.getByText("All of it can be had").waitFor({ timeout: 60_000 });
    expect(await page.locator(".found .reasons").count()).toBeGreaterThan(1);
    await page
      .getByRole("button", { name: /^Add .* to the job$/ })
      .first()
      .click();
    await page.getByRole("button", { name: /^Undo: Add “/ }).waitFor();
    await section(page, "Nights");
    expect(await page.getByRole("checkbox", { name: /^Compare/ }).count()).toBe(4);
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  });
});
