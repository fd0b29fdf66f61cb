import { readFileSync } from "node:fs";
import type { BrowserContext, Page } from "playwright-core";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { bundlePlan } from "../../../src/bundles/compensate.ts";
import { checkJob } from "../../../src/check.ts";
import { loadCatalog } from "../../../src/cli/catalogFiles.ts";
import { loadSolver } from "../../../src/cli/solver.ts";
import { holeLight } from "../../../src/pattern/packing.ts";
import { planJob } from "../../../src/work/planJob.ts";
import { scratch, velarium } from "../../cli/run.ts";
import { openPart, openSection, takeBack } from "./hands.ts";
import { stand, type Stand, wrongsOf } from "./harness.ts";

const DEMO = "demo/harbour-dining-room.velarium.json";
let at: Stand;
const folder = scratch();
beforeAll(async () => {
  at = await stand();
});
afterAll(async () => {
  folder.remove();
  await at.close();
});

async function openScene(
  options?: Parameters<Stand["context"]>[0],
): Promise<{ context: BrowserContext; page: Page }> {
  const { context, page } = await at.demo(options);
  await page.getByRole("button", { name: "Night", exact: true }).click();
  await page
    .getByRole("button", { name: /^How it will look/ })
    .first()
    .click();
  await page.locator(".scene canvas[data-drawn]").waitFor();
  return { context, page };
}

/** The fine picture with the lengths of the bundles, drawn and at rest. */
async function bundledPicture(page: Page): Promise<{ widthPx: number; heightPx: number; rgba: number[] }> {
  await page.locator('.scene canvas[data-lengths="bundled"]').waitFor({ timeout: 30_000 });
  let before = "";
  for (;;) {
    const canvas = page.locator(".scene canvas");
    const now = `${await canvas.getAttribute("data-ready")} ${await canvas.getAttribute("data-drawn")}`;
    if (now === before) break;
    before = now;
    await page.waitForTimeout(1200);
  }
  return page.evaluate(() => {
    const canvas = document.querySelector<HTMLCanvasElement>(".scene canvas")!;
    const { width: widthPx, height: heightPx } = canvas;
    const rgba = [...canvas.getContext("2d")!.getImageData(0, 0, widthPx, heightPx).data];
    return { widthPx, heightPx, rgba };
  });
}

describe("the scene in the studio", () => {
  test("is the command line's picture to the byte, strand lengths and all", async () => {
    const { context, page } = await openScene({
      viewport: { width: 900, height: 640 },
    });
    await page.getByRole("button", { name: "wall", exact: true }).click();
    await page.getByText("Strand lengths from the bundles", { exact: true }).waitFor({ timeout: 30_000 });
    const { widthPx, heightPx, rgba } = await bundledPicture(page);
    const out = folder.path("wall.png");
    const ran = await velarium([
      "scene",
      DEMO,
      "--seat",
      "wall",
      "--size",
      `${widthPx}x${heightPx}`,
      "--out",
      out,
    ]);
    expect(ran.code, ran.err).toBe(0);
    const { data } = await sharp(out).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
    expect(data.length).toBe(rgba.length);
    const different = rgba.filter((value, i) => value !== data[i]).length;
    expect(different).toBe(0);
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  }, 90_000);

  test("shows something before tiles are shared out, and says what the lengths are", async () => {
    const { context, page } = await openScene();
    // the first picture is there; sharing out may still be under way
    const first = await page.locator(".scene canvas").getAttribute("data-lengths");
    expect(["awaited", "bundled"]).toContain(first);
    await page.getByText("Strand lengths from the bundles", { exact: true }).waitFor({ timeout: 30_000 });
    await page.getByText("Lights on", { exact: true }).click();
    await page.locator('.scene canvas[data-lengths="usual"]').waitFor();
    await context.close();
  }, 60_000);

  test("stands still by itself where pictures come too slowly, and moves when asked to, as long as less motion is not wished for", async () => {
    const { context, page } = await openScene({ reducedMotion: "no-preference" });
    await page.getByRole("button", { name: "Stop twinkling" }).waitFor();
    const slow = await context.newCDPSession(page);
    await slow.send("Emulation.setCPUThrottlingRate", { rate: 60 });
    await page.getByText(/^Twinkling is off: this device is too slow/).waitFor({ timeout: 60_000 });
    await slow.send("Emulation.setCPUThrottlingRate", { rate: 1 });
    const canvas = page.locator(".scene canvas");
    await page.waitForTimeout(500);
    const drawn = Number(await canvas.getAttribute("data-drawn"));
    await page.waitForTimeout(500);
    expect(Number(await canvas.getAttribute("data-drawn"))).toBe(drawn);
    await page.getByRole("button", { name: "Twinkle" }).click();
    await page.waitForFunction(
      (before) =>
        Number(document.querySelector<HTMLElement>(".scene canvas")?.dataset["drawn"]) > before + 10,
      drawn,
    );
    expect(await page.getByText(/^Held still/).count()).toBe(0);
    // a wish for less motion that comes while it twinkles
    await page.emulateMedia({ reducedMotion: "reduce" });
    await page.getByRole("button", { name: "Twinkle" }).waitFor();
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  }, 90_000);
});

describe("strands exchanged for their length", () => {
  test("the pattern says how many, as many as the core exchanges, and no more once it is taken back", async () => {
    const { job } = checkJob(readFileSync(DEMO));
    const asked = { ...job, bundles: { ...job.bundles, compensateLength: true } };
    const catalog = await loadCatalog();
    const plan = planJob(asked, catalog);
    const made = bundlePlan(plan, { solver: await loadSolver(), figures: catalog.figures });
    const changed = made.plan.pattern.holes.filter(
      (hole, i) => holeLight(hole) !== holeLight(plan.pattern.holes[i]!),
    );
    expect(changed.length).toBeGreaterThan(0);

    const { context, page } = await at.demo();
    await openPart(page, "Bundles");
    await openSection(page, "Light");
    await page.getByLabel("Make up for length by thickness").check();
    await openPart(page, "Pattern");
    await openSection(page, "Strands");
    await page
      .getByText(`${changed.length} stars have another strand than by magnitude alone`)
      .waitFor({ timeout: 40_000 });
    await openSection(page, "By hand");
    const hole = changed.find((h) => h.name !== "")!;
    await page.getByLabel("Find a star, a constellation or a hole").fill(hole.name);
    await page.getByLabel("Find a star, a constellation or a hole").press("Enter");
    await page
      .getByText(/to make up for length \(else /)
      .first()
      .waitFor();
    await takeBack(page, /^Undo: .*length/i).click();
    await openSection(page, "Strands");
    await page.getByText(/another strand than by magnitude/).waitFor({ state: "detached" });
    expect(wrongsOf(context)).toEqual([]);
    at.back(page);
  }, 90_000);
});
