import { readFileSync } from "node:fs";
import type { Download, Page } from "playwright-core";

const AXE = readFileSync("node_modules/axe-core/axe.min.js", "utf8");

interface AxeResult {
  violations: { id: string; impact: string; nodes: { html: string; failureSummary: string }[] }[];
}

const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/**
 * What axe-core calls serious or worse, by the rules of WCAG 2.0 to 2.2, A and AA, on the page or `within` a part of it.
 * The context has to bypass the policy.
 */
export async function seriousFaults(page: Page, rules = RULES, within = "html"): Promise<string[]> {
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(AXE);
  const { violations } = await page.evaluate(
    ([runOnly, where]) => {
      const { axe } = window as unknown as { axe: { run(where: string, how: object): Promise<AxeResult> } };
      return axe
        .run(where, { runOnly, resultTypes: ["violations"] })
        .then((found) => ({ violations: found.violations }));
    },
    [rules, within] as const,
  );
  return violations
    .filter((v) => v.impact === "serious" || v.impact === "critical")
    .flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.html.slice(0, 160)} ${n.failureSummary}`));
}

/** Buttons and fields that a thumb would miss: less than 44 px either way. */
export function smallTargets(page: Page): Promise<string[]> {
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

export async function openPart(page: Page, name: string): Promise<void> {
  await page
    .getByRole("navigation", { name: "Parts of the work" })
    .getByRole("button", { name, exact: true })
    .click();
}

/** Opens a section of the part, on a wide screen or on a narrow one. */
export async function openSection(page: Page, name: string): Promise<void> {
  const tabs = page.getByRole("navigation", { name: "Sections" });
  if (await tabs.isVisible()) await tabs.getByRole("button", { name, exact: true }).click();
  else
    await page
      .locator("h2")
      .getByRole("button", { name: new RegExp(`^${name}`) })
      .click();
}

/** A number of the pattern's live count. */
export async function tally(page: Page, name: string): Promise<number> {
  const words = await page.locator(`[data-count="${name}"]`).innerText();
  return Number.parseFloat(words);
}

export async function waitForTally(page: Page, name: string, value: number): Promise<void> {
  await page.waitForFunction(
    ([key, wanted]) =>
      Number.parseFloat(document.querySelector(`[data-count="${key}"]`)?.textContent ?? "") === wanted,
    [name, value] as const,
  );
}

export const takeBack = (page: Page, name: string | RegExp) =>
  page.getByRole("button", {
    name: typeof name === "string" ? `Undo: ${name}` : name,
    exact: true,
  });

/** The bytes that a press of a button downloads, and their name. */
export async function downloaded(
  page: Page,
  press: () => Promise<void>,
): Promise<{ name: string; bytes: Uint8Array }> {
  const waiting: Promise<Download> = page.waitForEvent("download", { timeout: 60_000 });
  await press();
  const file = await waiting;
  return { name: file.suggestedFilename(), bytes: new Uint8Array(readFileSync(await file.path())) };
}

/** Something is dragged to the right and thought better of: Escape gives it up while the hand goes on. */
export async function dragAndGiveUp(page: Page, [x, y]: [number, number], byPx: number): Promise<void> {
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + byPx, y, { steps: 3 });
  await page.keyboard.press("Escape");
  await page.mouse.move(x + 1.5 * byPx, y, { steps: 3 });
  await page.mouse.up();
}
