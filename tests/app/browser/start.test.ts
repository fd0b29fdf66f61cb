import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { readPdf } from "../../sheets/readPdf.ts";
import { downloaded, openPart, openSection } from "./hands.ts";
import { kept, ready, stand, type Stand, wrongsOf } from "./harness.ts";

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

/** How many files the browser keeps for work without a network. */
const cached = (page: Page): Promise<number> =>
  page.evaluate(async () => {
    const [name] = await caches.keys();
    return name === undefined ? 0 : (await (await caches.open(name)).keys()).length;
  });

describe("starting the studio", () => {
  test("opens ready on the demo job, within the policy, and asks nobody else", async () => {
    const context = await at.context();
    const page = await at.open(context);
    expect(await page.title()).toBe("Harbour dining room · Velarium");
    expect(await page.locator(".tile").count()).toBe(59);
    // The worker's plan reaches the drawing: the canvas holds stars.
    await page.waitForFunction(() => {
      const canvas = document.querySelector("canvas");
      const pen = canvas?.getContext("2d");
      if (!canvas || !pen || canvas.width === 0) return false;
      const { data } = pen.getImageData(0, 0, canvas.width, canvas.height);
      let lit = 0;
      for (let i = 3; i < data.length; i += 4) if ((data[i] ?? 0) > 100) lit++;
      return lit > 500;
    });
    const policy = (await page.request.get(at.url)).headers()["content-security-policy"];
    expect(policy).toContain("default-src 'self'");
    expect(policy).not.toContain("unsafe-inline");
    expect(policy).not.toContain("'unsafe-eval'");
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  });

  test("the first script is at most 350 kB gzipped and holds no catalogue", () => {
    const html = readFileSync(join(at.folder, "index.html"), "utf8");
    const scripts = [...html.matchAll(/(?:src|href)="(\/assets\/[^"]+\.js)"/g)].map((m) => m[1]!);
    expect(scripts.length).toBeGreaterThan(0);
    const bytes = scripts.reduce(
      (sum, file) => sum + gzipSync(readFileSync(join(at.folder, file))).length,
      0,
    );
    expect(bytes).toBeLessThanOrEqual(350 * 1024);
    expect(readdirSync(join(at.folder, "catalog"))).toContain("stars.bin");
  });

  test("works without a network once it has been opened, prints a sheet, and can be installed; data that the browser cleared is fetched again", async () => {
    const own = await stand();
    const context = await own.context({ serviceWorkers: "allow" });
    const page = await own.open(context);
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    await kept(page);
    const before = await cached(page);
    await page.evaluate(async () => {
      for (const name of await caches.keys()) await caches.delete(name);
    });
    await page.reload();
    await ready(page);
    await expect.poll(() => cached(page), { timeout: 20_000 }).toBe(before);
    await own.stopServer();
    await page.reload();
    await ready(page);
    await page.getByRole("button", { name: /^Grid and tiles/ }).click();
    await page.getByLabel("Border at bar wall").fill("1' 3\"");
    await page.getByLabel("Border at bar wall").blur();
    await page.getByRole("button", { name: "Undo: Set the left border" }).waitFor();
    const manifest = await page.evaluate(async () => {
      const response = await fetch("/manifest.webmanifest");
      return (await response.json()) as { icons: { src: string }[]; start_url: string };
    });
    for (const icon of manifest.icons) {
      expect(await page.evaluate((src) => fetch(src).then((r) => r.ok), icon.src)).toBe(true);
    }
    await openPart(page, "Sheets");
    await openSection(page, "Download");
    await page.getByLabel("Tile", { exact: true }).selectOption("B2");
    const pdf = await downloaded(page, () =>
      page.getByRole("button", { name: "B2 (PDF)", exact: true }).click(),
    );
    expect(readPdf(pdf.bytes).length).toBeGreaterThan(1);
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
    await own.close();
  }, 180_000);

  test("the server serves its folder and nothing above it", async () => {
    for (const path of ["..%2f..%2fetc%2fpasswd", "%2e%2e/%2e%2e/etc/passwd", "assets/", "nothing", "%00"]) {
      expect((await fetch(at.url + path)).status).toBe(404);
    }
    expect((await fetch(at.url, { method: "POST" })).status).toBe(405);
  });
});
