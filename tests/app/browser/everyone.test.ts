import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { openPart, openSection, seriousFaults, smallTargets } from "./hands.ts";
import { stand, type Stand, wrongsOf } from "./harness.ts";

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

/** Every section of every part that lies beside the ceiling, and what tells that its first answer has come. */
const PARTS: Record<string, { there: string; sections: string[] }> = {
  Survey: {
    there: ".room",
    sections: [
      "Room",
      "Plan to trace",
      "Grid and tiles",
      "No-go zones",
      "Tile uses",
      "Compass",
      "Stop or go",
    ],
  },
  Night: {
    there: "canvas.sky[data-painted]",
    sections: ["Where and when", "Which part of the sky", "Find a night", "Nights", "How it will look"],
  },
  Pattern: {
    there: '[data-count="used"]',
    sections: [
      "Strands",
      "Brightness scale",
      "Which strands to buy",
      "Placing holes",
      "Faint stars",
      "Tile by tile",
      "Moved and left out",
      "By hand",
    ],
  },
  Bundles: {
    there: '[data-count="lit"]',
    sections: ["Engines", "Tiles to engines", "Void and runs", "Light", "Tails and strands"],
  },
  Order: {
    there: ".tally",
    sections: ["Fabric", "Quantities", "Weight", "Hours", "Price", "Packs and labels"],
  },
  Sheets: {
    there: "text=quickest",
    sections: ["Paper and sides", "Printer test", "Look through", "Issue", "Download"],
  },
};

async function goTo(page: Page, part: string): Promise<void> {
  await openPart(page, part);
  await openSection(page, PARTS[part]!.sections[0]!);
  await page.locator(PARTS[part]!.there).first().waitFor({ timeout: 60_000 });
}

/** What axe finds in the dark, and what of the light theme, which is the same page in other colours, can't be read. */
async function expectReadable(page: Page, what: string, within?: string): Promise<void> {
  const themed = (theme: string) =>
    page.evaluate((name) => (document.documentElement.dataset["theme"] = name), theme);
  expect(await seriousFaults(page, undefined, within), what).toEqual([]);
  await themed("light");
  expect(await seriousFaults(page, ["color-contrast"], within), `${what}, light`).toEqual([]);
  await themed("dark");
}

/** What is shown beside the sections of a part once something is picked or pressed. */
const MORE: Record<string, (page: Page) => Promise<void>> = {
  Survey: async (page) => {
    await openSection(page, "No-go zones");
    await page.getByRole("button", { name: /^head 1/ }).click();
    await expectReadable(page, "a thing");
    await page.getByRole("button", { name: /^Job: / }).click();
    await expectReadable(page, "jobs");
    await page.getByRole("button", { name: "New room" }).click();
    await expectReadable(page, "new room");
    for (const name of ["New room", "Jobs"])
      await page.getByRole("dialog", { name }).getByRole("button", { name: "Close" }).click();
    await page.getByRole("dialog").waitFor({ state: "detached" });
  },
  Night: async (page) => {
    await openSection(page, "Nights");
    for (const box of await page.getByRole("checkbox", { name: /^Compare/ }).all()) await box.check();
    await page.getByRole("button", { name: "Side by side" }).click();
    await page.locator(".wall dl").nth(2).waitFor();
    await expectReadable(page, "nights side by side");
  },
  Pattern: async (page) => {
    await openSection(page, "By hand");
    await page.locator('[data-grip="holecursor"]').waitFor({ state: "attached" });
    await page.getByLabel("Find a star, a constellation or a hole").fill("Vega");
    await page.getByLabel("Find a star, a constellation or a hole").press("Enter");
    await page.locator('[data-grip="hole"]').waitFor();
    await expectReadable(page, "a picked star");
  },
  Bundles: async (page) => {
    await openSection(page, "Engines");
    await page.locator(".rows button").first().click();
    await expectReadable(page, "an engine");
  },
};

describe("for hands and eyes", () => {
  test("on a phone and a tablet every section fits, scrolls one way only, can be hit with a thumb and read, dark and light", async () => {
    const viewport = { width: 390, height: 844 };
    const looks = { colorScheme: "dark", reducedMotion: "reduce", bypassCSP: true } as const;
    const context = await at.context({ viewport, hasTouch: true, isMobile: true, ...looks });
    const page = await at.open(context);
    for (const [part, { sections }] of Object.entries(PARTS)) {
      await goTo(page, part);
      const tabs = page.getByRole("navigation", { name: "Sections" }).getByRole("button");
      expect(
        (await tabs.allTextContents()).map((text) => text.replace(", to fix", "").trim()),
        part,
      ).toEqual(sections);
      for (const size of [{ width: 820, height: 1180 }, viewport]) {
        await page.setViewportSize(size);
        for (const section of sections) {
          const what = `${part}: ${section}, ${size.width} px wide`;
          await openSection(page, section);
          await page.waitForTimeout(50);
          const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
          expect(wide, what).toBeLessThanOrEqual(0);
          expect(await smallTargets(page), what).toEqual([]);
          // what lies round the panels is looked at on a wide screen
          if (size === viewport) await expectReadable(page, what, "aside");
          if (part !== "Survey") continue;
          const ceiling = (await page.locator(".room").boundingBox())!;
          expect(ceiling.width * ceiling.height, "the ceiling stays in sight").toBeGreaterThan(30_000);
        }
      }
    }
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  }, 240_000);

  test("on a wide screen axe-core finds no serious fault in any part, nor in what opens there, dark and light", async () => {
    const context = await at.context({ colorScheme: "dark", reducedMotion: "reduce", bypassCSP: true });
    const page = await at.open(context);
    for (const part of Object.keys(PARTS)) {
      await goTo(page, part);
      await page.waitForTimeout(100);
      await expectReadable(page, part);
      await MORE[part]?.(page);
    }
    await context.close();
  }, 240_000);

  test("on a phone two fingers zoom and one moves the drawing", async () => {
    const context = await at.context({
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
    });
    const page = await at.open(context);
    const session = await context.newCDPSession(page);
    const touch = (type: string, points: [number, number][]) =>
      session.send("Input.dispatchTouchEvent", {
        type: type as "touchStart",
        touchPoints: points.map(([x, y], id) => ({ x, y, id })),
      });
    const width = async (): Promise<number> => (await page.locator(".room").boundingBox())!.width;
    const before = await width();
    await touch("touchStart", [[150, 200]]);
    await touch("touchStart", [
      [150, 200],
      [240, 200],
    ]);
    for (let i = 1; i <= 5; i++)
      await touch("touchMove", [
        [150 - i * 6, 200],
        [240 + i * 6, 200],
      ]);
    await touch("touchEnd", []);
    expect(await width()).toBeGreaterThan(before * 1.4);
    await page.getByRole("button", { name: "Show the whole ceiling" }).click();
    expect(Math.abs((await width()) - before)).toBeLessThan(1);
    await context.close();
  });

  test("the theme is remembered, and reduced motion moves nothing", async () => {
    const context = await at.context({ colorScheme: "dark", reducedMotion: "reduce" });
    const page = await at.open(context);
    await page.getByRole("button", { name: "Use the light theme" }).click();
    await page.reload();
    await page.locator(".stage .wall").waitFor();
    expect(await page.evaluate(() => document.documentElement.dataset["theme"])).toBe("light");
    const moving = await page.evaluate(
      () =>
        [...document.querySelectorAll("*")].filter(
          (e) => parseFloat(getComputedStyle(e).transitionDuration) > 0,
        ).length,
    );
    expect(moving).toBe(0);
    await context.close();
  });
});
