import { chromium } from "playwright-core";
import { buildStudioIfStale, STUDIO_FOLDER } from "../app/buildStudio.ts";
import { listen, staticServer } from "../app/server.ts";
import { type BenchLine, pacing, percentile } from "./measure.ts";

const SECONDS = 6;

type What = "nothing" | "blank" | "scrub";

interface Run {
  intervals: number[];
  /** Of each frame: where the slider stood when it began, and the moment (UTC) of the sky then on the screen. */
  minutes: number[];
  skies: string[];
  /** The sky that stays when the slider has been let go. */
  rest: string;
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
        measured: `${pacing(moved.intervals)}; ${followed(moved)}`,
        goal: "a new sky in every frame",
        reference: `the same canvas filled with nothing: ${pacing(blank.intervals)}; the page left alone: ${pacing(idle.intervals)}`,
      },
    ];
  } finally {
    await browser.close();
    server.close();
  }
}

/** "a new sky in 357 of 358, 1 frame behind the hand": counted from the first that the hand brought. */
function followed({ minutes, skies, rest }: Run): string {
  const isNew = skies.map((sky, i) => i > 0 && sky !== skies[i - 1]);
  const counted = isNew.slice(isNew.indexOf(true));
  const minuteOf = (utcIso: string): number => Date.parse(utcIso) / 60_000;
  const atRest = minuteOf(rest) - minutes.at(-1)!;
  // what stands there when frame i begins was painted in frame i - 1
  const lags = skies.map((sky, i) => i - 1 - minutes.indexOf(minuteOf(sky) - atRest));
  return `a new sky in ${counted.filter(Boolean).length} of ${counted.length} frames, ${percentile(lags, 0.5).toFixed(1)} frames behind the hand`;
}

/** Runs in the page: counts frames, and in each moves the slider by a minute, fills the canvas, or does nothing. */
function frames({ seconds, what }: { seconds: number; what: "nothing" | "blank" | "scrub" }): Promise<Run> {
  const scrub = what === "scrub";
  const slider = document.querySelector<HTMLInputElement>("input[aria-label='Hour of the night']");
  const canvas = document.querySelector<HTMLCanvasElement>("canvas.sky");
  if (!slider || !canvas) throw new Error("the studio shows no time slider");
  const pen = canvas.getContext("2d");
  /** Early in the evening; six seconds of frames go until the morning. */
  const FIRST_MINUTE = 420;
  const REST_MS = 500;
  const nothing = new ImageData(canvas.width, canvas.height);
  const sky = (): string => canvas.dataset["sky"] ?? "";
  return new Promise((done) => {
    const run: Run = { intervals: [], minutes: [], skies: [], rest: "" };
    let last = 0;
    let start = 0;
    let minute = FIRST_MINUTE;
    if (scrub) slider.dispatchEvent(new PointerEvent("pointerdown", { bubbles: true }));
    const step = (now: number): void => {
      if (start === 0) start = now;
      else run.intervals.push(now - last);
      last = now;
      run.skies.push(sky());
      if (now - start > seconds * 1000) {
        if (scrub) slider.dispatchEvent(new Event("change", { bubbles: true }));
        setTimeout(() => done({ ...run, rest: sky() }), REST_MS);
        return;
      }
      if (what === "blank") {
        nothing.data[4 * run.intervals.length + 3] = 1;
        pen?.putImageData(nothing, 0, 0);
      }
      if (scrub) {
        run.minutes.push(++minute);
        slider.value = String(minute);
        slider.dispatchEvent(new Event("input", { bubbles: true }));
      }
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  });
}
