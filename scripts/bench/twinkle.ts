import { chromium, type Page } from "playwright-core";
import { buildStudioIfStale, STUDIO_FOLDER } from "../app/buildStudio.ts";
import { listen, staticServer } from "../app/server.ts";
import { type BenchLine, pacing } from "./measure.ts";
import { benchJob } from "./pattern.ts";

const SECONDS = 6;
const WIDTH_PX = 1280;
const HEIGHT_PX = 800;
const STRANDS = 5000;

type What = "nothing" | "blank";

interface Run {
  intervals: number[];
  /** Pictures drawn by the studio in all, and frames of the screen without a new one. */
  drawn: number;
  without: number;
}

/** A twinkling ceiling of 5,000 strands in the built studio, in headless Chromium without a GPU. */
export async function benchTwinkle(): Promise<BenchLine[]> {
  await buildStudioIfStale();
  const server = staticServer(STUDIO_FOLDER);
  const url = await listen(server, 0);
  const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  try {
    const page = await browser.newPage({ viewport: { width: 1730, height: 960 } });
    // tsx names the inner functions of what is sent to the page by a helper that only Node has
    await page.addInitScript("globalThis.__name = (f) => f");
    await page.addInitScript("Reflect.deleteProperty(window, 'showOpenFilePicker')");
    await page.goto(url);
    await openJob(page);
    await page.getByRole("button", { name: "Night", exact: true }).click();
    await page.getByRole("button", { name: /^How it will look/ }).click();
    await sized(page);
    await page.getByRole("button", { name: "wall", exact: true }).click();
    // the fine picture comes after the rough one, and sizes settle
    await page.waitForTimeout(5000);
    const moving = await page.evaluate(frames, { seconds: SECONDS, what: "nothing" as What });
    await page.getByRole("button", { name: "Stop twinkling" }).click();
    await page.waitForTimeout(500);
    const blank = await page.evaluate(frames, { seconds: SECONDS / 2, what: "blank" as What });
    const idle = await page.evaluate(frames, { seconds: SECONDS / 2, what: "nothing" as What });
    const each = (1000 * moving.drawn) / moving.intervals.reduce((sum, ms) => sum + ms, 0);
    return [
      {
        what: `a twinkling ceiling of ${STRANDS} strands in the studio, ${WIDTH_PX} × ${HEIGHT_PX}`,
        measured: `${each.toFixed(1)} pictures a second; frames ${pacing(moving.intervals)}, ${moving.without} without a new picture`,
        goal: "60 a second",
        reference: `the same canvas filled with nothing: ${pacing(blank.intervals)}; the page left alone: ${pacing(idle.intervals)}`,
      },
    ];
  } finally {
    await browser.close();
    server.close();
  }
}

async function openJob(page: Page): Promise<void> {
  await page.locator(".tile").first().waitFor({ state: "attached" });
  await page.getByRole("button", { name: /^Job: / }).click();
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Open a job or drawing" }).click();
  const buffer = Buffer.from(JSON.stringify(benchJob(14, 11, STRANDS)));
  await (await chooser).setFiles({ name: "bench.velarium.json", mimeType: "application/json", buffer });
  await page.waitForFunction(() => document.title.includes("bench"));
}

/** A window in which the picture has just the size asked for. */
async function sized(page: Page): Promise<void> {
  const canvas = page.locator(".scene canvas");
  await canvas.waitFor();
  const box = (await canvas.boundingBox())!;
  const now = page.viewportSize()!;
  await page.setViewportSize({
    width: now.width + WIDTH_PX - Math.round(box.width),
    height: now.height + HEIGHT_PX - Math.round(box.height),
  });
  await page.waitForTimeout(300);
  const after = (await canvas.boundingBox())!;
  if (Math.round(after.width) !== WIDTH_PX || Math.round(after.height) !== HEIGHT_PX)
    throw new Error(`the picture is ${after.width} × ${after.height}`);
}

/** Runs in the page: counts frames and the pictures drawn meanwhile, filling a canvas of that size or nothing. */
function frames({ seconds, what }: { seconds: number; what: "nothing" | "blank" }): Promise<Run> {
  const canvas = document.querySelector<HTMLCanvasElement>(".scene canvas");
  if (!canvas) throw new Error("the studio shows no scene");
  const over = document.createElement("canvas");
  const nothing = new ImageData(canvas.clientWidth, canvas.clientHeight);
  over.width = nothing.width;
  over.height = nothing.height;
  over.style.cssText = "position: absolute; inset: 0";
  const pen = over.getContext("2d");
  if (what === "blank") canvas.parentElement?.append(over);
  const count = (): number => Number(canvas.dataset["drawn"] ?? 0);
  return new Promise((done) => {
    const run: Run = { intervals: [], drawn: 0, without: 0 };
    const first = count();
    let before = first;
    let last = 0;
    let start = 0;
    const step = (now: number): void => {
      if (start === 0) start = now;
      else run.intervals.push(now - last);
      last = now;
      if (count() === before && run.intervals.length > 1) run.without++;
      before = count();
      if (now - start > seconds * 1000) {
        run.drawn = count() - first;
        over.remove();
        done(run);
        return;
      }
      if (what === "blank") {
        nothing.data[4 * run.intervals.length + 3] = 1;
        pen?.putImageData(nothing, 0, 0);
      }
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  });
}
