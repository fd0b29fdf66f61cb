import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { parseLength } from "../../../src/job/units.ts";
import { openPart, openSection, seriousFaults } from "./hands.ts";
import { ready, stand, type Stand, wrongsOf } from "./harness.ts";

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, bypassCSP: true };

/** The bench with a tile on it; the plan is made and nothing moves any more. */
async function bench(page: Page, tile: string): Promise<void> {
  await page.goto(`${at.url}#bench=${tile}`);
  await page.getByRole("heading", { name: tile, exact: true }).waitFor({ timeout: 60_000 });
  await page.locator("g[data-hole]").first().waitFor();
}
const step = (page: Page, name: string) =>
  page.getByRole("navigation", { name: "Step" }).getByRole("button", { name: new RegExp(`^${name}`) });
const kept = (page: Page) => page.locator(".bench[data-kept]").getByText("kept", { exact: true }).waitFor();
const done = (page: Page) => page.locator("g.done").count();

/** The screen's lock as a phone grants it, with what was asked of it; headless browsers have none. */
const lock = `
  const asked = (globalThis.__lock = { asked: 0, released: 0 });
  Object.defineProperty(navigator, "wakeLock", { value: { request: async () => {
    asked.asked++;
    const lock = new EventTarget();
    lock.released = false;
    lock.release = async () => { lock.released = true; asked.released++; lock.dispatchEvent(new Event("release")); };
    return lock;
  } } });`;

/** A disk that is full while `__full` is set: what is put into a store ends its transaction as the browser does then. */
const disk = `
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (...args) {
    const request = put.apply(this, args);
    const { transaction } = this;
    if (globalThis.__full)
      request.addEventListener("success", () => {
        Object.defineProperty(transaction, "error", { value: new DOMException("full", "QuotaExceededError") });
        transaction.abort();
      });
    return request;
  };`;

const even = (all: number[]) => all.filter((_, i) => i % 2 === 0);
const odd = (all: number[]) => all.filter((_, i) => i % 2 === 1);

/** Buttons and fields under 48 px either way. */
const small = (page: Page) =>
  page.evaluate(() =>
    [...document.querySelectorAll(".bench button, .bench input")].flatMap((element) => {
      const { width, height } = element.getBoundingClientRect();
      return width > 0 && (width < 47.5 || height < 47.5)
        ? [`${element.outerHTML.slice(0, 100)} ${width}x${height}`]
        : [];
    }),
  );

test("a whole tile is punched by tapping it on a phone, stays punched when the page is gone, and in a second tab", async () => {
  const context = await at.context(PHONE);
  await context.addInitScript(lock);
  await context.addInitScript(disk);
  const page = await context.newPage();
  await bench(page, "C4");
  await page.waitForFunction("globalThis.__lock.asked === 1");
  await step(page, "punched").click();
  const names = await page
    .locator("g[data-hole]")
    .evaluateAll((all) => all.map((g) => g.getAttribute("data-hole")!));
  expect(names.length).toBeGreaterThan(10);
  const drawn = page.locator(".sheet .board");
  const drawnAt = await drawn.boundingBox();
  // from the last to the first, so that it is the tap that ticks, not the order
  for (const name of names.toReversed()) {
    const hole = page.locator(`g[data-hole="${name}"]`);
    for (let look = 0; look < 3 && !(await hole.evaluate((g) => g.classList.contains("done"))); look++) {
      const box = (await hole.locator(".dot").boundingBox())!;
      await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
    }
    if (
      await page
        .getByRole("button", { name: "Closer" })
        .evaluate((b) => b.getAttribute("aria-pressed") === "true")
    )
      await page.getByRole("button", { name: "Closer" }).click();
  }
  expect(await done(page)).toBe(names.length);
  // nothing has moved under the finger to the last hole, and the step in hand comes into sight
  expect(await drawn.boundingBox()).toEqual(drawnAt);
  await page.getByRole("button", { name: "On to: threaded" }).click();
  await expect.poll(async () => { const { x, width } = (await step(page, "threaded").boundingBox())!; return x >= 0 && x + width <= PHONE.viewport.width; }).toBe(true); // prettier-ignore
  // a finger presses once, whatever stands under it when the browser has made up its mind
  await page.getByRole("button", { name: `Hole ${names[0]} threaded`, exact: true }).tap();
  await page.getByRole("button", { name: "Next 10 threaded" }).tap();
  await page.getByRole("button", { name: "Undo: 10 holes threaded" }).waitFor();
  expect(await done(page)).toBe(11);
  await page.getByRole("button", { name: "Undo: 10 holes threaded" }).click();
  expect(await done(page)).toBe(1);
  await kept(page);

  // on a full disk the tick stays on the page, and the page is not left unasked
  await page.evaluate("globalThis.__full = true");
  await page.getByRole("button", { name: `Hole ${names[1]} threaded`, exact: true }).click();
  await page.getByRole("alert").getByText("Not kept: This browser's storage is full.").waitFor();
  expect(await page.locator(".bench[data-kept]").count()).toBe(0);
  expect(await small(page)).toEqual([]);
  const asked = page.waitForEvent("dialog");
  await page.close({ runBeforeUnload: true });
  await (await asked).dismiss();
  await page.getByRole("button", { name: "Tiles", exact: true }).click();
  await page.getByRole("button", { name: "Leave" }).click();
  await page.getByRole("alert").getByText("The record of the bench is not kept").waitFor();
  await page.evaluate("globalThis.__full = false");
  await page.getByRole("button", { name: "Try again" }).click();
  await page.getByRole("alert").waitFor({ state: "detached" });
  await openPart(page, "Bench");
  await page.getByRole("button", { name: /^Tile C4/ }).click();

  const second = await context.newPage();
  await bench(second, "C4");
  await step(second, "threaded").click();
  expect(await done(second)).toBe(2);
  await step(second, "punched").click();
  expect(await done(second)).toBe(names.length);
  // what one tab ticks the other shows
  await step(page, "glued").click();
  await step(second, "glued").click();
  // Undo takes its place under the finger
  await page.getByRole("button", { name: "Whole tile" }).tap();
  await second.getByText("C4: glued, all of it.").waitFor();
  await kept(page);
  expect(await done(page)).toBe(names.length);
  await page.close({ runBeforeUnload: false });
  await second.reload();
  await bench(second, "C4");
  await step(second, "punched").click();
  expect(await done(second)).toBe(names.length);
  await second.getByRole("button", { name: "Tiles", exact: true }).click();
  await second.getByRole("button", { name: "Leave" }).click();
  await second.waitForFunction("globalThis.__lock.released === 1");

  // nobody has issued C4: a change that moves its holes says what it costs before it does anything
  await ready(second);
  await openPart(second, "Pattern");
  await openSection(second, "Faint stars");
  const draw = second.getByRole("button", { name: "Draw others" });
  const undo = second.getByRole("button", { name: /^Undo: Draw other/ });
  await draw.click();
  await second.getByText(/^C4 would have .*Work on it has started: \d+ holes punched for nothing.* glued strands lost.* h of work/).waitFor(); // prettier-ignore
  await second.getByRole("button", { name: "Leave it as it is" }).click();
  expect(await undo.count()).toBe(0);
  await draw.click();
  await second.getByRole("button", { name: "Change it at that cost" }).click();
  await undo.waitFor({ state: "attached" });
  expect(wrongsOf(context)).toEqual([]);
  await context.close();
});

test("a hole is moved, its strand dead; every screen has room for a thumb and is read by everybody, bright and dark", async () => {
  const context = await at.context(PHONE);
  const page = await context.newPage();
  await bench(page, "C4");
  await step(page, "punched").click();
  const where = page.locator(".dock .where");
  const before = await where.innerText();
  await page.getByRole("button", { name: "Hole 1…" }).click();
  await page.getByLabel(/^Moved right/).fill("25.4");
  await page.getByLabel(/^Moved right/).blur();
  expect(await small(page)).toEqual([]);
  await page.getByRole("button", { name: "Moved by this much" }).click();
  expect(await where.innerText()).not.toBe(before);
  await page.getByRole("button", { name: "Hole 1…" }).click();
  await page.getByText(/moved 1" right/).waitFor();
  await page.getByRole("button", { name: "Dead", exact: true }).click();
  const holes = await page.locator("g[data-hole]").count();
  await page.getByRole("button", { name: "Tile…" }).click();
  const added = page.getByRole("button", { name: /^Added/ });
  expect(await added.isDisabled()).toBe(true);
  for (const name of ["From the left edge", "From the lower edge"]) {
    await page.getByLabel(name).fill("150 mm");
    await page.getByLabel(name).blur();
  }
  expect(await small(page)).toEqual([]);
  expect(await seriousFaults(page)).toEqual([]);
  await added.click();
  await page.locator('g[data-hole="+1"]').waitFor();
  expect(await page.locator("g[data-hole]").count()).toBe(holes + 1);
  await page.getByRole("button", { name: "Tile…" }).click();
  await page.getByRole("button", { name: "Lifted for service" }).click();
  await page.getByRole("button", { name: "Undo: C4 lifted" }).waitFor();
  await page.getByRole("button", { name: "Tiles", exact: true }).click();
  await page.getByRole("button", { name: "Engine A…" }).click({ timeout: 60_000 });
  await page.getByLabel("What was changed, and for what").fill("lamp");
  await page.getByLabel("What was changed, and for what").blur();
  await page.getByRole("button", { name: "Engine A is changed" }).click();
  await page.getByRole("button", { name: "Engine A…" }).click();
  await page.getByText(/^changed: lamp/).waitFor();
  await page.getByRole("button", { name: "Close", exact: true }).click();
  await page.getByRole("button", { name: /^Tile C4/ }).click();
  for (const theme of ["Use the light theme", "Use the dark theme"]) {
    const button = page.getByRole("button", { name: theme });
    if (await button.isVisible()) await button.click();
    // colours change over a tenth of a second
    await page.waitForTimeout(250);
    expect(await seriousFaults(page)).toEqual([]);
    expect(await small(page)).toEqual([]);
    await page.getByRole("button", { name: "Numbers" }).click();
    expect(await seriousFaults(page)).toEqual([]);
    expect(await small(page)).toEqual([]);
    await page.getByRole("button", { name: "Numbers" }).click();
    await page.getByRole("button", { name: "Tiles", exact: true }).click();
    await page.getByRole("list", { name: "Tiles" }).waitFor();
    expect(await seriousFaults(page)).toEqual([]);
    expect(await small(page)).toEqual([]);
    await page.getByRole("button", { name: /^Tile C4/ }).click();
  }
  expect(wrongsOf(context)).toEqual([]);
  await context.close();
});

test("a projector leads only where its middle and diagonals agree; holes lie where four marks put them", async () => {
  const context = await at.context({ viewport: { width: 1280, height: 800 } });
  const page = await context.newPage();
  await bench(page, "C4");
  await step(page, "punched").click();
  const [, x, y] = /^(.*) from the left edge, (.*) from the lower edge/.exec(
    await page.locator(".dock .where").innerText(),
  )!;
  const place = { xMm: parseLength(x!, "ft-in"), yMm: parseLength(y!, "ft-in") };
  await page.getByRole("button", { name: "Tile…" }).click();
  await page.getByRole("button", { name: /^Without paper/ }).click();
  await page.getByText("A projector", { exact: true }).click();
  const lead = page.getByRole("button", { name: "Lead from hole to hole" });
  await page.getByRole("button", { name: "The white cross lies on it" }).click();
  let diagonalMm = 0;
  for (const name of ["Upper left to lower right", "Upper right to lower left"]) {
    const should = (await page.getByText(new RegExp(`^${name}`)).innerText()).split("by the plan ")[1]!;
    diagonalMm = parseLength(should, "ft-in");
    await page.getByLabel(new RegExp(`^${name}`)).fill(should);
    await page.getByLabel(new RegExp(`^${name}`)).blur();
  }
  await lead.click();
  // a square tile under four marks in a square: the first hole lies as on the tile, only larger or smaller
  const numbers = (text: string | null) => text!.match(/-?[\d.]+/g)!.map(Number);
  const hole = numbers(await page.locator(".picture g:not(.next)").first().getAttribute("transform"));
  const edge = numbers(await page.locator(".picture .edge").getAttribute("d"));
  const [left, right, bottom] = [Math.min(...even(edge)), Math.max(...even(edge)), Math.max(...odd(edge))];
  const pxPerMm = (right - left) / (diagonalMm / Math.SQRT2);
  expect(Math.abs((hole[0]! - left) / pxPerMm - place.xMm)).toBeLessThan(1);
  expect(Math.abs((bottom - hole[1]!) / pxPerMm - place.yMm)).toBeLessThan(1);
  await page.keyboard.press("Space");
  await page.getByRole("button", { name: "Hole 2 punched" }).waitFor();
  await page.getByRole("button", { name: "Settings" }).click();
  // another size of the window moves the picture on the tile: what was checked is checked again
  await page.setViewportSize({ width: 1270, height: 800 });
  await page.getByText("The middle is not checked yet", { exact: false }).waitFor();
  expect(await lead.isDisabled()).toBe(true);
  await page.setViewportSize({ width: 1280, height: 800 });
  await page.getByRole("button", { name: "The white cross lies on it" }).click();
  await page.getByText(/^Holes may be off by/).waitFor();
  expect(await lead.isEnabled()).toBe(true);
  const first = page.getByLabel(/^Upper left to lower right/);
  await first.fill("900 mm");
  await first.blur();
  await page.getByText(/nothing is shown to punch by/).waitFor();
  expect(await lead.isDisabled()).toBe(true);

  // the device remembers what is refused and where the marks lay; what was checked is checked again
  await page.getByLabel(/^Refuse where/).fill("0.8");
  await page.getByLabel(/^Refuse where/).blur();
  const mark = page.locator(".picture button").first();
  const laidAt = await mark.boundingBox();
  await page.reload();
  await bench(page, "C4");
  await page.getByRole("button", { name: "Tile…" }).click();
  await page.getByRole("button", { name: /^Without paper/ }).click();
  await page.getByText("A projector", { exact: true }).click();
  expect(await page.getByLabel(/^Refuse where/).inputValue()).toBe("0.8");
  expect(await mark.boundingBox()).toEqual(laidAt);
  await page.getByText("The middle is not checked yet", { exact: false }).waitFor();
  expect(wrongsOf(context)).toEqual([]);
  await context.close();
});
