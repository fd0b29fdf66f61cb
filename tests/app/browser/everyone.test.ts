import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { stand, type Stand, wrongsOf } from "./harness.ts";

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

const SECTIONS = ["Room", "Grid and tiles", "Keep clear", "Tile uses", "Compass", "Stop or go"];
const AXE = readFileSync("node_modules/axe-core/axe.min.js", "utf8");

interface AxeResult {
  violations: { id: string; impact: string; nodes: { html: string; failureSummary: string }[] }[];
}

/** What axe-core (WCAG 2.0 to 2.2, A and AA) calls serious or worse. */
async function seriousFaults(page: Page): Promise<string[]> {
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(AXE);
  const result = await page.evaluate(() => {
    const { axe } = window as unknown as { axe: { run(options: object): Promise<AxeResult> } };
    return axe.run({
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    });
  });
  return result.violations
    .filter((v) => v.impact === "serious" || v.impact === "critical")
    .flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.html.slice(0, 160)} ${n.failureSummary}`));
}

/** Buttons and fields that a thumb would miss: less than 44 px either way. */
function smallTargets(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = [];
    for (const element of document.querySelectorAll("button, select, input, summary")) {
      const box = (element.closest("label") ?? element).getBoundingClientRect();
      if (box.width === 0 || element.closest("[class*=said]")) continue;
      if (box.height < 43.5 || box.width < 39.5)
        found.push(`${element.outerHTML.slice(0, 120)} ${box.width}x${box.height}`);
    }
    return found;
  });
}

describe("for hands and eyes", () => {
  for (const theme of ["dark", "light"] as const) {
    test(`axe-core finds no serious fault in the ${theme} theme`, async () => {
      const context = await at.context({ colorScheme: theme, bypassCSP: true });
      const page = await at.open(context);
      expect(await page.evaluate(() => document.documentElement.dataset["theme"])).toBe(theme);
      for (const name of SECTIONS) {
        await page
          .getByRole("button", { name: new RegExp(`^${name}`) })
          .first()
          .click();
        await page.waitForTimeout(200);
        expect(await seriousFaults(page), name).toEqual([]);
      }
      await page
        .getByRole("button", { name: /^Keep clear/ })
        .first()
        .click();
      await page.getByRole("button", { name: /^head 1/ }).click();
      expect(await seriousFaults(page), "a thing").toEqual([]);
      await page.getByRole("button", { name: /^Job: / }).click();
      expect(await seriousFaults(page), "jobs").toEqual([]);
      await page.getByRole("button", { name: "New room" }).click();
      expect(await seriousFaults(page), "new room").toEqual([]);
      await context.close();
    }, 180_000);
  }

  for (const [name, width, height] of [
    ["phone", 390, 844],
    ["tablet", 820, 1180],
  ] as const) {
    test(`on a ${name} every section fits, scrolls one way only, and can be hit with a thumb`, async () => {
      const context = await at.context({ viewport: { width, height }, hasTouch: true, isMobile: true });
      const page = await at.open(context);
      for (const section of SECTIONS) {
        await page.getByRole("button", { name: section, exact: true }).first().click();
        const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
        expect(wide, section).toBeLessThanOrEqual(0);
        expect(await smallTargets(page), section).toEqual([]);
        const ceiling = (await page.locator(".room").boundingBox())!;
        expect(ceiling.width * ceiling.height, "the ceiling stays in sight").toBeGreaterThan(30_000);
      }
      expect(wrongsOf(context)).toEqual([]);
      await context.close();
    });
  }

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
    await page.getByRole("button", { name: "Bright bench colours" }).click();
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
