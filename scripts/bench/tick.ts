import { type CDPSession, chromium } from "playwright-core";
import { buildStudioIfStale, STUDIO_FOLDER } from "../app/buildStudio.ts";
import { listen, staticServer } from "../app/server.ts";
import { type BenchLine, percentile } from "./measure.ts";

const TICKS = 30;
const SLOWER = 6;

/**
 * From the tap on the large button to the frame that shows it, on a phone's screen with the processor slowed down: the
 * browser's own event timing (W3C Event Timing, in steps of 8 ms). Beside it: a button of the same page that does nothing.
 */
export async function benchTick(): Promise<BenchLine[]> {
  await buildStudioIfStale();
  const server = staticServer(STUDIO_FOLDER);
  const url = await listen(server, 0);
  const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  try {
    const context = await browser.newContext({
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
    });
    const page = await context.newPage();
    await page.addInitScript(watch);
    await page.goto(`${url}#bench=C4`);
    await page.locator("g[data-hole]").first().waitFor({ timeout: 60_000 });
    // sharing-out and warming up are over
    await page.waitForTimeout(15_000);
    const cdp = await context.newCDPSession(page);
    await cdp.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
    const steps = page.getByRole("navigation", { name: "Step" });
    const times: number[] = [];
    for (const step of ["punched", "threaded", "glued"]) {
      await steps.getByRole("button", { name: new RegExp(`^${step}`) }).click();
      await page.waitForTimeout(500);
      const { x, y } = await middle(".keys .big");
      for (let i = 0; i < TICKS / 3; i++) times.push(await tapped(x, y));
    }
    const heading = await middle(".bench h1");
    const idle: number[] = [];
    for (let i = 0; i < TICKS / 3; i++) idle.push(await tapped(heading.x, heading.y));
    const words = (all: number[]): string =>
      `median ${percentile(all, 0.5)} ms, longest ${Math.max(...all)} ms of ${all.length}`;
    return [
      {
        what: `A tick on a phone (390 × 844) at ${SLOWER} times slow-down, from the tap to the frame that shows it`,
        measured: words(times),
        goal: "50 ms",
        reference: `a tap that does nothing: ${words(idle)}`,
      },
    ];

    async function middle(selector: string): Promise<{ x: number; y: number }> {
      const box = (await page.locator(selector).boundingBox())!;
      return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    }
    async function tapped(x: number, y: number): Promise<number> {
      await page.evaluate("globalThis.__taps.length = 0");
      await tap(cdp, x, y);
      await page.waitForFunction("globalThis.__taps.length > 0", null, { timeout: 500 }).catch(() => null);
      const taps = (await page.evaluate("globalThis.__taps")) as number[];
      return Math.max(0, ...taps);
    }
  } finally {
    await browser.close();
    server.close();
  }
}

async function tap(cdp: CDPSession, x: number, y: number): Promise<void> {
  await cdp.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [{ x, y }] });
  await cdp.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  await new Promise((done) => setTimeout(done, 400));
}

/** In the page: how long every click and the end of every touch took to be shown. */
const watch = `
  globalThis.__name = (f) => f;
  globalThis.__taps = [];
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries())
      if (["click", "pointerup", "touchend"].includes(entry.name)) globalThis.__taps.push(entry.duration);
  }).observe({ type: "event", durationThreshold: 16, buffered: false });
`;
