import { chromium } from "playwright-core";
import { buildStudioIfStale, STUDIO_FOLDER } from "../app/buildStudio.ts";
import { listen, staticServer } from "../app/server.ts";
import type { BenchLine } from "./measure.ts";

const SECONDS = 6;
/** A 60 Hz screen. */
const FRAME_MS = 1000 / 60;

type What = "nothing" | "blank" | "scrub";

interface Run {
  intervals: number[];
  /** Skies painted in all, and frames in which none was. */
  painted: number;
  without: number;
}

/** The time slider of the built studio, moved once in every frame of headless Chromium, the whole catalogue behind it. */
export async function benchScrub(): Promise<BenchLine[]> {
  await buildStudioIfStale();
  const server = staticServer(STUDIO_FOLDER);
  const url = await listen(server, 0);
  const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    // tsx names the inner functions of what is sent to the page by a helper that only Node has
    await page.addInitScript("globalThis.__name = (f) => f");
    await page.goto(url);
    await page.getByRole("button", { name: "Night", exact: true }).click();
    await page.locator("canvas.sky[data-painted]").waitFor();
    const slider = page.getByRole("slider", { name: "Hour of the night" });
    await slider.waitFor();
    // the plan settles once more after the first sight
    await page.waitForTimeout(2500);
    const idle = await page.evaluate(frames, { seconds: SECONDS / 2, what: "nothing" as What });
    const blank = await page.evaluate(frames, { seconds: SECONDS / 2, what: "blank" as What });
    const moved = await page.evaluate(frames, { seconds: SECONDS, what: "scrub" as What });
    return [
      {
        what: "time slider in the studio: frames while the sky of 41,411 stars follows, 1280 × 800",
        measured: `${told(moved)}; a new sky in ${moved.intervals.length - moved.without} of them`,
        goal: "a new sky in every frame",
        reference: `the same canvas filled with nothing: ${told(blank)}; the page left alone: ${told(idle)}`,
      },
    ];
  } finally {
    await browser.close();
    server.close();
  }
}

function told({ intervals }: Run): string {
  const late = intervals.filter((ms) => ms > 1.5 * FRAME_MS).length;
  return `p50 ${percentile(intervals, 0.5)} ms, p95 ${percentile(intervals, 0.95)} ms, ${late} of ${intervals.length} late`;
}

function percentile(values: number[], share: number): string {
  const sorted = values.toSorted((a, b) => a - b);
  return (sorted[Math.floor(share * (sorted.length - 1))] ?? NaN).toFixed(1);
}

/** Runs in the page: counts frames, and in each moves the slider by a minute, fills the canvas, or does nothing. */
function frames({ seconds, what }: { seconds: number; what: "nothing" | "blank" | "scrub" }): Promise<Run> {
  const scrub = what === "scrub";
  const slider = document.querySelector<HTMLInputElement>("input[aria-label='Hour of the night']");
  const canvas = document.querySelector<HTMLCanvasElement>("canvas.sky");
  if (!slider || !canvas) throw new Error("the studio shows no time slider");
  const pen = canvas.getContext("2d");
  const nothing = new ImageData(canvas.width, canvas.height);
  const count = (): number => Number(canvas.dataset["painted"] ?? 0);
  return new Promise((done) => {
    const run: Run = { intervals: [], painted: 0, without: 0 };
    const first = count();
    let before = first;
    let last = 0;
    let start = 0;
    let minute = 420;
    if (scrub) slider.dispatchEvent(new PointerEvent("pointerdown", { bubbles: true }));
    const step = (now: number): void => {
      if (start === 0) start = now;
      else run.intervals.push(now - last);
      last = now;
      if (count() === before && run.intervals.length > 1) run.without++;
      before = count();
      if (now - start > seconds * 1000) {
        run.painted = count() - first;
        if (scrub) slider.dispatchEvent(new Event("change", { bubbles: true }));
        done(run);
        return;
      }
      if (what === "blank") {
        nothing.data[4 * run.intervals.length + 3] = 1;
        pen?.putImageData(nothing, 0, 0);
      }
      if (scrub) {
        minute = minute >= 1140 ? 420 : minute + 1;
        slider.value = String(minute);
        slider.dispatchEvent(new Event("input", { bubbles: true }));
      }
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  });
}
