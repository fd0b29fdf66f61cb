import { type CDPSession, chromium } from "playwright-core";
import { buildStudioIfStale, STUDIO_FOLDER } from "../app/buildStudio.ts";
import { listen, staticServer } from "../app/server.ts";
import { type BenchLine, percentile } from "./measure.ts";

const TICKS = 30;
/** Ticks whose work is counted, at full speed. */
const COUNTED = 8;
const SLOWER = 6;

/**
 * From the tap on the large button to the frame that shows it, on a phone's screen with the processor slowed down: the
 * browser's own event timing (W3C Event Timing, in steps of 8 ms). Beside it: a button of the same page that does nothing.
 * Then how long the page's main thread itself works for a tick, by the processor's clock: that says the same on a busy machine.
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
    const key = await middle(".keys .big");
    await cdp.send("Emulation.setCPUThrottlingRate", { rate: 1 });
    const work = await ownWork(key.x, key.y);
    await cdp.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
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
      {
        what: `Work of the main thread for a tick, from the finger's lifting to the frame, times ${SLOWER}`,
        measured: `median ${(SLOWER * percentile(work, 0.5)).toFixed(0)} ms of ${work.length}`,
        goal: "50 ms",
        reference: "by the processor's clock, so that other work on the machine counts little",
      },
    ];

    async function middle(selector: string): Promise<{ x: number; y: number }> {
      const box = (await page.locator(selector).boundingBox())!;
      return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    }
    async function ownWork(x: number, y: number): Promise<number[]> {
      const events: TraceEvent[] = [];
      cdp.on("Tracing.dataCollected", ({ value }) => void events.push(...(value as unknown as TraceEvent[])));
      const ended = new Promise((done) => cdp.once("Tracing.tracingComplete", done));
      const includedCategories = ["devtools.timeline", "disabled-by-default-devtools.timeline"];
      await cdp.send("Tracing.start", { transferMode: "ReportEvents", traceConfig: { includedCategories } });
      for (let i = 0; i < COUNTED; i++) await tap(cdp, x, y);
      await cdp.send("Tracing.end");
      await ended;
      return tickWork(events);
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

interface TraceEvent {
  name: string;
  ph: string;
  /** Microseconds: of the clock, and of the processor. */
  ts: number;
  dur?: number;
  tdur?: number;
  pid: number;
  tid: number;
  args: { data?: { type?: string } };
}

/** Milliseconds that the thread which heard each click worked, from the finger's lifting to the end of the next commit. */
function tickWork(events: readonly TraceEvent[]): number[] {
  const isOf = (type: string) => (e: TraceEvent) => e.name === "EventDispatch" && e.args.data?.type === type;
  const clicks = events.filter(isOf("click")).sort((a, b) => a.ts - b.ts);
  return clicks.flatMap((click) => {
    const own = events.filter((e) => e.ph === "X" && e.pid === click.pid && e.tid === click.tid);
    const up = own
      .filter(isOf("pointerup"))
      .filter(({ ts }) => ts <= click.ts)
      .at(-1);
    const shown = own.filter(({ name, ts }) => name === "Commit" && ts >= click.ts + (click.dur ?? 0)).sort((a, b) => a.ts - b.ts)[0]; // prettier-ignore
    if (!up || !shown) return [];
    const tasks = own.filter(({ name, ts, dur = 0 }) => name === "RunTask" && ts + dur >= up.ts && ts <= shown.ts + (shown.dur ?? 0)); // prettier-ignore
    return [tasks.reduce((sum, { tdur = 0 }) => sum + tdur, 0) / 1000];
  });
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
