import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { dragAndGiveUp, openPart, openSection, takeBack, tally, waitForTally } from "./hands.ts";
import { stand, type Stand, wrongsOf } from "./harness.ts";

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

/** Strands used: all of them but the few that the ladder of brightness leaves spare. */
async function waitForUsed(page: Page, strands: number): Promise<void> {
  await page.waitForFunction((most) => {
    const used = Number.parseFloat(document.querySelector('[data-count="used"]')?.textContent ?? "");
    return used <= most && used > 0.93 * most;
  }, strands);
}

async function atPattern(page: Page, section: string): Promise<void> {
  await openPart(page, "Pattern");
  await openSection(page, section);
}

/** Middle of the handle of the picked hole, on the screen. */
async function handleAt(page: Page): Promise<{ x: number; y: number }> {
  const box = (await page.locator('[data-grip="hole"] .dot').boundingBox())!;
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

async function pick(page: Page, words: string): Promise<void> {
  // There is something to find once the holes are there.
  await page.locator('[data-grip="holecursor"]').waitFor({ state: "attached" });
  await page.getByLabel("Find a star, a constellation or a hole").fill(words);
  await page.getByLabel("Find a star, a constellation or a hole").press("Enter");
  await page.locator('[data-grip="hole"]').waitFor();
}

describe("the pattern in the studio", () => {
  test("the holes follow a slider while it is held; one slide is one step", async () => {
    const { context, page } = await at.demo();
    await atPattern(page, "Placing holes");
    await waitForUsed(page, 1680);
    const merged = await tally(page, "merged");
    const slider = page.getByRole("slider", { name: "Smallest spacing of holes" });
    const box = (await slider.boundingBox())!;
    // The thumb is 12 px wide and stands at 8 of 4 to 60 mm.
    const x = box.x + 6 + ((8 - 4) / 56) * (box.width - 12);
    const y = box.y + box.height / 2;
    await page.mouse.move(x, y);
    await page.mouse.down();
    for (let i = 1; i <= 8; i++) await page.mouse.move(x + i * 4, y);
    await page.waitForFunction(
      (before) =>
        Number.parseFloat(document.querySelector('[data-count="merged"]')?.textContent ?? "") > before,
      merged,
    );
    // still held: no step has been recorded
    await page.getByRole("button", { name: "Nothing to undo" }).waitFor();
    await page.mouse.up();
    await takeBack(page, "Set the smallest spacing").click();
    await waitForTally(page, "merged", merged);
    await page.getByRole("button", { name: "Nothing to undo" }).waitFor();
    // thought better of, though the browser's own slider goes on with the hand
    await dragAndGiveUp(page, [x, y], 20);
    await page.waitForFunction(
      (one) => (one as HTMLInputElement).value === "8",
      await slider.elementHandle(),
    );
    await page.getByRole("button", { name: "Nothing to undo" }).waitFor();

    const number = page.getByLabel("Smallest spacing of holes, mm");
    await number.fill("12,5");
    await number.blur();
    await takeBack(page, "Set the smallest spacing").waitFor();
    expect(await slider.getAttribute("aria-valuetext")).toBe("12.5 mm");
    await number.fill("1");
    await number.blur();
    await page.getByText("It has to be from 2 to 200 mm.").waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("stock by diameter: counts, a new row, what to use, what is refused; faint stars are drawn anew", async () => {
    const { context, page } = await at.demo();
    await atPattern(page, "Strands");
    await page.getByLabel("0.75 mm in stock").fill("1000");
    await page.getByLabel("0.75 mm in stock").blur();
    await waitForUsed(page, 1320);
    await page.getByRole("button", { name: "Another diameter" }).click();
    await page.getByLabel("0.5 mm in stock").fill("80");
    await page.getByLabel("0.5 mm in stock").blur();
    await waitForUsed(page, 1400);
    await page.getByLabel("Diameter of row 4, mm").fill("1.5");
    await page.getByLabel("Diameter of row 4, mm").blur();
    await page.getByText("There is a row for 1.5 mm already").waitFor();
    await page.getByRole("button", { name: "Remove 1 mm strand" }).click();
    await waitForUsed(page, 1140);
    await page.getByLabel("Strands to use").fill("900");
    await page.getByLabel("Strands to use").blur();
    await waitForUsed(page, 900);
    await openSection(page, "Faint stars");
    const stars = await tally(page, "stars");
    expect(stars + (await tally(page, "filler"))).toBe(await tally(page, "holes"));
    await page.getByRole("button", { name: "Draw others" }).click();
    await takeBack(page, "Draw other faint stars").waitFor();
    expect(await tally(page, "stars")).toBe(stars);
    expect(await page.getByLabel("Seed").inputValue()).toBe("20290909");
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("strands are weighed for this sky, and one click takes a mix into the job", async () => {
    const { context, page } = await at.demo();
    await atPattern(page, "Which strands to buy");
    await page.getByLabel("Holes", { exact: true }).fill("400");
    await page.getByLabel("Holes", { exact: true }).blur();
    await page.getByRole("button", { name: "Compare them" }).click();
    const mixes = page.getByRole("list", { name: "Mixes of strands" });
    await mixes.getByText("2 diameters").waitFor();
    expect(await mixes.getByRole("img").count()).toBeGreaterThan(2);
    await mixes.getByRole("listitem").filter({ hasText: "2 diameters" }).getByRole("button").click();
    await takeBack(page, /^Undo: Take \d+ x/).waitFor();
    await page.getByText("The job has changed since. Compare them again.").waitFor();
    await openSection(page, "Brightness scale");
    await page.getByText("of the sky's 10 brightest lead").waitFor();
    await page.waitForFunction(() => {
      const holes = Number.parseFloat(document.querySelector('[data-count="holes"]')?.textContent ?? "");
      return holes > 300 && holes < 500;
    });
    await page.getByLabel("Strands in one hole, at most").fill("1");
    await page.getByLabel("Strands in one hole, at most").blur();
    await takeBack(page, "One strand in every hole").waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("a star is dragged: pinned on a free spot, refused on a sprinkler with the rule named, undone", async () => {
    const { context, page } = await at.demo();
    await atPattern(page, "By hand");
    await pick(page, "Vega");
    const start = await handleAt(page);
    await page.mouse.move(start.x, start.y);
    await page.mouse.down();
    const head = (await page
      .getByRole("img", { name: /head 1/ })
      .locator(".body")
      .boundingBox())!;
    await page.mouse.move(start.x + 10, start.y + 10);
    await page.mouse.move(head.x + head.width / 2, head.y + head.height / 2);
    await page
      .locator(".hint")
      .getByText(/No hole there: on sprinkler 'head 1'/)
      .waitFor();
    await page.mouse.up();
    await page.getByRole("button", { name: "Nothing to undo" }).waitFor();
    const back = await handleAt(page);
    expect(Math.hypot(back.x - start.x, back.y - start.y)).toBeLessThan(0.5);

    // 19 px off is within the tile and clear of its neighbours on this sky
    await page.mouse.move(start.x, start.y);
    await page.mouse.down();
    await page.mouse.move(start.x + 6, start.y + 6);
    await page.mouse.move(start.x + 15, start.y + 12);
    await page.mouse.up();
    await takeBack(page, /^Undo: Pin Vega/).waitFor();
    const now = await handleAt(page);
    expect(Math.hypot(now.x - start.x - 15, now.y - start.y - 12)).toBeLessThan(1);
    await page.getByRole("button", { name: "Let the program place it" }).waitFor();

    await page.getByRole("button", { name: "Leave it out" }).click();
    await takeBack(page, /^Undo: Leave out Vega/).waitFor();
    await page
      .getByText(/left out/)
      .first()
      .waitFor();
    await page.getByRole("button", { name: /^Undo: Leave out Vega/ }).click();
    await page.getByRole("button", { name: /^Undo: Pin Vega/ }).click();
    await page.waitForFunction(
      ([x, y]) => {
        const dot = document.querySelector('[data-grip="hole"] .dot')?.getBoundingClientRect();
        return dot && Math.hypot(dot.x + dot.width / 2 - x, dot.y + dot.height / 2 - y) < 0.5;
      },
      [start.x, start.y] as const,
    );
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("a hole of one's own is put down, named, moved by number and refused under a tee", async () => {
    const { context, page } = await at.demo();
    await atPattern(page, "By hand");
    await page.getByRole("button", { name: "Add a hole" }).click();
    const tile = (await page.locator('[data-grip="tile:B3"]').boundingBox())!;
    await page.mouse.click(tile.x + tile.width * 0.83, tile.y + tile.height * 0.83);
    await takeBack(page, "Add a hole").waitFor();
    await page.getByLabel("Name").fill("door star");
    await page.getByLabel("Name").blur();
    await page.getByRole("heading", { name: "door star" }).waitFor();
    const left = page.getByRole("textbox", { name: "From bar wall" });
    const before = await left.inputValue();
    // The left border is 1' 9": the first tee runs there.
    await left.fill(`1' 9"`);
    await left.blur();
    await page.getByText("No hole there: under a tee.").waitFor();
    expect(await left.inputValue()).toBe(before);
    await page.getByRole("button", { name: "Remove", exact: true }).click();
    await takeBack(page, "Forget door star").waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("by keyboard alone: among holes, pick, nudge, pin, leave out", async () => {
    const { context, page } = await at.demo();
    await atPattern(page, "By hand");
    await page.locator('[data-grip="holecursor"]').focus();
    const label = () => page.locator('[data-grip="holecursor"]').getAttribute("aria-label");
    const first = await label();
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowDown");
    expect(await label()).not.toBe(first);
    // A star, not filler: only the sky's own can be left out.
    await pick(page, "Altair");
    await page.locator('[data-grip="hole"]').focus();
    const start = await handleAt(page);
    await page.keyboard.press("Shift+ArrowRight");
    await page.keyboard.press("ArrowRight");
    await page.getByText(/Free. Let go, or press Enter/).waitFor();
    const moved = await handleAt(page);
    expect(moved.x).toBeGreaterThan(start.x);
    await page.getByRole("button", { name: "Nothing to undo" }).waitFor();
    await page.keyboard.press("Enter");
    await takeBack(page, /^Undo: Pin Altair/).waitFor();
    await page.keyboard.press("ArrowUp");
    await page.keyboard.press("Escape");
    const kept = await handleAt(page);
    expect(Math.hypot(kept.x - moved.x, kept.y - moved.y)).toBeLessThan(0.5);
    await page.keyboard.press("Delete");
    await takeBack(page, /^Undo: Leave out Altair/).waitFor();
    await page.locator('[data-grip="holecursor"]').focus();
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement?.getAttribute("data-grip") === "hole");
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("the list of moved and lost stars shows each on the ceiling, by mouse and by keyboard", async () => {
    const { context, page } = await at.demo();
    await atPattern(page, "Moved and left out");
    const list = page.getByRole("list", { name: "Stars, brightest first" });
    await list.getByRole("button").first().hover();
    await page.waitForFunction(
      (words) => [...document.querySelectorAll(".ring text")].some((at) => words.includes(at.textContent)),
      await list.getByRole("button").first().innerText(),
    );
    await page.getByRole("radio", { name: /^Left out/ }).check({ force: true });
    await list.getByRole("button").first().focus();
    await page.locator(".ring.gone text").waitFor();
    await list.getByRole("button", { name: /Kornephoros.*left out by hand/ }).click();
    await page.getByRole("heading", { name: "Kornephoros" }).waitFor();
    await page.getByRole("button", { name: "Let the program place it" }).click();
    await takeBack(page, "Let the program place Kornephoros").waitFor();
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });

  test("decisions that no longer fit are reported where they stand, and can be forgotten", async () => {
    const { context, page } = await at.demo();
    await atPattern(page, "By hand");
    const pinned = page
      .getByRole("region", { name: "Decided by hand" })
      .getByRole("button", { name: /^\S.*pinned/ });
    // the mouse stays on the row of the star that it picks
    await pinned.first().click();
    await page.locator(".ring").first().waitFor();
    expect(wrongsOf(context)).toEqual([]);
    // Tile D5 holds the demo's pinned star.
    await openPart(page, "Survey");
    await openSection(page, "Tile uses");
    await page.getByLabel(/Or name the tiles/).fill("D5");
    await page.getByLabel(/Or name the tiles/).blur();
    await atPattern(page, "By hand");
    await page.getByText(/No longer fits: tile D5 is covered but takes no strands/).waitFor();
    await page.getByRole("button", { name: "Forget it" }).click();
    await takeBack(page, "Forget a pin").waitFor();
    await page.getByText("No longer fits").waitFor({ state: "detached" });
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  });
});
