import { chromium, type CDPSession, type Page } from "playwright-core";
import { loadavg } from "node:os";
import { writeJob } from "../../src/job/write.ts";
import { buildStudioIfStale, STUDIO_FOLDER } from "../app/buildStudio.ts";
import { listen, staticServer } from "../app/server.ts";
import { NEWEST_STEPS } from "../../src/app/state/history.ts";
import { type BenchLine, percentile } from "./measure.ts";
import { benchJob } from "./pattern.ts";

const TILES = 3000;

/** The largest hall under a hand in the built studio: how long an edit takes to show, and how long the page stands still. */
export async function benchStudio(): Promise<BenchLine[]> {
  await buildStudioIfStale();
  const server = staticServer(STUDIO_FOLDER);
  const url = await listen(server, 0);
  const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    page.setDefaultTimeout(60_000);
    await page.addInitScript(() => Reflect.deleteProperty(window, "showOpenFilePicker"));
    // tsx names the inner functions of what is sent to the page by a helper that only Node has
    await page.addInitScript("globalThis.__name = (f) => f");
    await page.addInitScript(watchOpening);
    await page.goto(url);
    await page.locator(".tile").first().waitFor({ state: "attached" });
    const standstill = watchPage(await page.context().newCDPSession(page));
    const opened = await standstill(() => openHall(page));
    const part = (name: string) =>
      page.getByRole("navigation", { name: "Parts of the work" }).getByRole("button", { name, exact: true });
    await part("Pattern").click();
    await page
      .locator("h2")
      .getByRole("button", { name: /^Placing holes/ })
      .click();
    await page.locator(".tally:not(.waiting)", { hasText: `of ${(TILES * 100) / 3}` }).waitFor();
    const edits: { shownMs: number; stillMs: number }[] = [];
    for (const spacing of ["9", "10", "11", "12"]) {
      const before = await holes(page);
      const field = page.getByRole("textbox", { name: "Smallest spacing of holes, mm" });
      let shownMs = 0;
      const stillMs = await standstill(async () => {
        await field.fill(spacing);
        const start = performance.now();
        await field.press("Enter");
        await page.waitForFunction((old) => document.querySelector('[data-count="used"]')?.textContent !== old, before); // prettier-ignore
        shownMs = performance.now() - start;
      });
      edits.push({ shownMs, stillMs });
      await page.locator(".tally:not(.waiting)").waitFor();
    }
    const sheets = await standstill(async () => {
      await part("Sheets").click();
      await page.getByText("ISO 216").waitFor();
    });
    const alone = await reopened(page);
    const steps = await withHistory(page);
    const behind = await reopened(page);
    const load = `load ${loadavg()[0]!.toFixed(1)}`;
    const worst = (values: number[]) => Math.max(...values).toFixed(0);
    const line = (what: string, measured: string, goal: string): BenchLine => ({ what: `${TILES} tiles and ${(TILES * 100) / 3} strands in the studio: ${what}`, measured, goal, reference: load }); // prettier-ignore
    return [
      line("opened, longest standstill of the page", `${opened.toFixed(0)} ms of its processor`, ""),
      line("an edit of the pattern shows", `${edits.map((e) => e.shownMs.toFixed(0)).join(", ")} ms; page stood still ${worst(edits.map((e) => e.stillMs))} ms at most`, "≤ 1000 ms"), // prettier-ignore
      line("opening Sheets, longest standstill of the page", `${sheets.toFixed(0)} ms of its processor`, "≤ 200 ms"), // prettier-ignore
      line(`opened again with the ${steps} steps that are kept of 3,000 edits`, `${behind.toFixed(0)} ms; without them ${alone.toFixed(0)} ms`, "≤ 1000 ms"), // prettier-ignore
    ];
  } finally {
    await browser.close();
    server.close();
  }
}

async function openHall(page: Page): Promise<void> {
  await page.getByRole("button", { name: /^Job: / }).click();
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: /^Open a job/ }).click();
  const buffer = Buffer.from(writeJob(benchJob(60, TILES / 60, (TILES * 100) / 3)));
  await (await chooser).setFiles({ name: "hall.velarium.json", mimeType: "application/json", buffer });
  await page.getByRole("button", { name: "Job: bench" }).waitFor();
  await settled(page);
}

/** In the page: when the first frame with the ceiling was on the screen; the job can be edited from then on. */
const watchOpening = `
  new MutationObserver((_, observer) => {
    if (!document.querySelector(".tile")) return;
    observer.disconnect();
    requestAnimationFrame(() => setTimeout(() => (globalThis.__openedMs = performance.now())));
  }).observe(document, { childList: true, subtree: true });
`;
const REOPENED = 3;

/** Loads the page anew, some times; how long until the job that was open is drawn, in ms from the navigation: the median. */
async function reopened(page: Page): Promise<number> {
  const times: number[] = [];
  for (let i = 0; i < REOPENED; i++) {
    await page.reload();
    await page.getByRole("button", { name: "Job: bench" }).waitFor();
    const ms = await page.waitForFunction(() => (globalThis as { __openedMs?: number }).__openedMs);
    times.push((await ms.jsonValue())!);
    await settled(page);
  }
  return percentile(times, 0.5);
}

/** Puts as many steps behind the open job as a history keeps: copies of its last. */
async function withHistory(page: Page): Promise<number> {
  const most = 2 * NEWEST_STEPS;
  await page.evaluate(async (most) => {
    const read = <T>(asked: IDBRequest<T>) =>
      new Promise<T>((done, failed) => {
        asked.onsuccess = () => done(asked.result);
        asked.onerror = () => failed(asked.error!);
      });
    const db = await read(indexedDB.open("velarium"));
    const tx = db.transaction(["jobs", "histories", "steps"], "readwrite");
    const [jobs, histories, steps] = [tx.objectStore("jobs"), tx.objectStore("histories"), tx.objectStore("steps")]; // prettier-ignore
    for (const entry of (await read(jobs.getAll())) as { id: string; at: number }[]) {
      const lines = (await read(histories.get(entry.id))) as { key: string; name: string }[];
      const step = (await read(steps.get([entry.id, lines[entry.at]!.key]))) as object;
      for (let i = lines.length; i < most; i++) {
        lines.push({ key: String(i), name: `Edit ${i}` });
        steps.put({ ...step, name: `Edit ${i}` }, [entry.id, String(i)]);
      }
      histories.put(lines, entry.id);
      await read(jobs.put({ ...entry, at: most - 1 }));
    }
    db.close();
  }, most);
  return most;
}

const holes = (page: Page): Promise<string> => page.locator('[data-count="used"]').innerText();

async function settled(page: Page): Promise<void> {
  // placing that lasts is told after a second; a page that is left while it places goes on with it beside the next one
  await page.waitForTimeout(1500);
  await page.getByRole("button", { name: "Stop placing" }).waitFor({ state: "detached" });
}

/** The longest task of the page's own thread during some work, in ms of processor time: a loaded machine adds nothing. */
function watchPage(devtools: CDPSession): (work: () => Promise<void>) => Promise<number> {
  return async (work) => {
    const tasks: { name: string; tid: number; tdur?: number; args?: { name?: string } }[] = [];
    const collect = ({ value }: { value: object[] }) => tasks.push(...(value as typeof tasks));
    devtools.on("Tracing.dataCollected", collect);
    await devtools.send("Tracing.start", {
      transferMode: "ReportEvents",
      traceConfig: { includedCategories: ["toplevel", "disabled-by-default-devtools.timeline", "devtools.timeline"] }, // prettier-ignore
    });
    await work();
    const complete = new Promise<unknown>((done) => devtools.once("Tracing.tracingComplete", done));
    await devtools.send("Tracing.end");
    await complete;
    devtools.off("Tracing.dataCollected", collect);
    const main = new Set(tasks.filter((t) => t.name === "thread_name" && t.args?.name === "CrRendererMain").map((t) => t.tid)); // prettier-ignore
    return Math.max(0, ...tasks.filter((t) => main.has(t.tid)).map((t) => (t.tdur ?? 0) / 1000));
  };
}
