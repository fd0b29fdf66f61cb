import { cpSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, extname, join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { benchJob } from "../../../scripts/bench/pattern.ts";
import { writeJob } from "../../../src/job/write.ts";
import { openPart, openSection } from "./hands.ts";
import { FOREIGN_HOST, kept, ready, stand, type Stand, TABLET_HOST } from "./harness.ts";
import { KILLED_MS, killedInTheMidst } from "./mortal.ts";

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

const height = (page: Page) => page.getByLabel("Ceiling height", { exact: true });
async function setHeight(page: Page, words: string): Promise<void> {
  await height(page).fill(words);
  await height(page).blur();
}
async function offer(page: Page, name: string, bytes: string | Buffer): Promise<void> {
  await page.getByRole("button", { name: /^Job: / }).click();
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Open a job or drawing" }).click();
  await (await chooser).setFiles({ name, mimeType: "application/json", buffer: Buffer.from(bytes) });
}
const jobCount = async (page: Page): Promise<number> => {
  await page.getByRole("button", { name: /^Job: / }).click();
  const count = await page.locator("dialog li .name").count();
  await page.keyboard.press("Escape");
  return count;
};
const inControl = (page: Page) => page.waitForFunction(() => navigator.serviceWorker.controller !== null);

describe("kept means kept", () => {
  test("over plain HTTP from another device: whole, or nothing at all for a foreign name", async () => {
    const context = await at.context();
    const page = await context.newPage();
    await page.goto(at.url.replace("localhost", TABLET_HOST));
    await ready(page);
    expect(await page.evaluate(() => [isSecureContext, "randomUUID" in crypto])).toEqual([false, false]);
    await setHeight(page, "10 ft");
    await kept(page);
    await page.reload();
    await ready(page);
    expect(await height(page).inputValue()).toBe(`10' 0"`);
    expect(await jobCount(page)).toBe(1);
    const foreign = await page.goto(at.url.replace("localhost", FOREIGN_HOST));
    expect(foreign?.status()).toBe(421);
    await context.close();
  });

  test("a browser that died before it noted which job was open comes back with the newest, not with a new demo", async () => {
    const context = await at.context();
    const page = await at.open(context);
    await setHeight(page, "10 ft");
    await kept(page);
    await page.evaluate(() => (localStorage.clear(), sessionStorage.clear()));
    await page.close();
    const again = await at.open(context);
    expect(await height(again).inputValue()).toBe(`10' 0"`);
    expect(await jobCount(again)).toBe(1);
    await context.close();
  });

  test("what is half typed asks before the page is left; what is kept doesn't", async () => {
    const context = await at.context();
    const page = await at.open(context);
    const asked: string[] = [];
    page.on("dialog", (dialog) => {
      asked.push(dialog.type());
      void dialog.dismiss();
    });
    await height(page).click();
    await page.keyboard.press("Control+A");
    await page.keyboard.type("10 ft");
    await page.close({ runBeforeUnload: true });
    await expect.poll(() => asked).toEqual(["beforeunload"]);
    // it was entered on the way
    await page.getByRole("button", { name: "Undo: Set the ceiling height" }).waitFor();
    await kept(page);
    await height(page).click();
    await page.keyboard.type("about so");
    await page.close({ runBeforeUnload: true });
    await expect.poll(() => asked).toHaveLength(2);
    await height(page).fill("11 ft");
    await height(page).blur();
    await page.getByText("Kept in this browser").first().waitFor();
    await expect.poll(() => page.evaluate(() => document.querySelectorAll('[role="alert"]').length)).toBe(0);
    const closed = page.waitForEvent("close");
    await page.close({ runBeforeUnload: true });
    await closed;
    expect(asked).toHaveLength(2);
    await context.close();
  });

  test("a store that is cleared under the page gets the job again", async () => {
    const context = await at.context();
    const page = await at.open(context);
    await setHeight(page, "10 ft");
    await kept(page);
    const devtools = await context.newCDPSession(page);
    await devtools.send("Storage.clearDataForOrigin", {
      origin: new URL(at.url).origin,
      storageTypes: "indexeddb",
    });
    await page.getByText(/was no longer in the browser’s store/).waitFor();
    await kept(page);
    await setHeight(page, "11 ft");
    await kept(page);
    await page.reload();
    await ready(page);
    expect(await height(page).inputValue()).toBe(`11' 0"`);
    expect(await jobCount(page)).toBe(1);
    await context.close();
  });

  test("a file that is not UTF-8 is refused, not opened with broken letters", async () => {
    const context = await at.context();
    const page = await at.open(context);
    const text = readFileSync("demo/harbour-dining-room.velarium.json", "utf8");
    await offer(page, "old.json", Buffer.from(text.replace("Harbour", "Köhler"), "latin1"));
    await page.getByText("This file was not opened").waitFor();
    await page.getByText(/text in UTF-8/).waitFor();
    await context.close();
  });

  test("3,000 steps that an older studio kept without a limit are thinned and all open; one is read at an opening, others when they are wanted", async () => {
    const context = await at.context();
    await context.addInitScript(() => {
      const all = window as { stepsRead?: number };
      all.stepsRead = 0;
      const { get } = IDBObjectStore.prototype;
      IDBObjectStore.prototype.get = function (key) {
        if (this.name === "steps") all.stepsRead!++;
        return get.call(this, key);
      };
    });
    const page = await context.newPage();
    await page.goto(new URL("/icon.svg", at.url).href);
    await page.evaluate(
      async (text) => {
        const job = JSON.parse(text) as { title: string };
        const asked = indexedDB.open("velarium", 1);
        await new Promise<void>((done) => {
          asked.onupgradeneeded = () => {
            const jobs = asked.result.createObjectStore("jobs", { keyPath: "id" });
            const steps = asked.result.createObjectStore("steps");
            jobs.put({
              id: "old",
              title: job.title,
              client: "",
              room: "",
              savedAtMs: 1,
              saves: 3000,
              at: 2999,
            });
            for (let i = 0; i < 3000; i++)
              steps.put({ name: i ? `Edit ${i}` : "", job: { ...job, title: `Title ${i}` }, merge: "" }, [
                "old",
                i,
              ]);
          };
          asked.onsuccess = () => done();
        });
        asked.result.close();
      },
      readFileSync("demo/harbour-dining-room.velarium.json", "utf8"),
    );
    await page.goto(at.url);
    await page.getByRole("button", { name: "Job: Title 2999" }).waitFor();
    const read = () => page.evaluate(() => (window as { stepsRead?: number }).stepsRead);
    await page.reload();
    await page.getByRole("button", { name: "Job: Title 2999" }).waitFor();
    expect(await read()).toBe(1);
    await page.getByRole("button", { name: "Undo: Edit 2999" }).click();
    await page.getByRole("button", { name: "Job: Title 2998" }).waitFor();
    expect(await read()).toBe(2);
    await page.keyboard.press("Escape");
    await setHeight(page, "10 ft");
    await kept(page);
    await page.reload();
    await page.getByRole("button", { name: "Undo: Set the ceiling height" }).click();
    await page.getByRole("button", { name: "Undo: Edit 2998" }).waitFor();
    await page.getByRole("button", { name: "All steps" }).click();
    await page.getByRole("button", { name: "As it was opened" }).click();
    await page.getByRole("button", { name: "Job: Title 0" }).waitFor();
    await page.keyboard.press("Escape");
    await kept(page);
    const rows = await page.evaluate(
      () =>
        new Promise<number>((done) => {
          const asked = indexedDB.open("velarium");
          asked.onsuccess = () => {
            const count = asked.result.transaction("steps").objectStore("steps").count();
            count.onsuccess = () => done(count.result);
          };
        }),
    );
    expect(rows).toBeLessThanOrEqual(200);
    expect(rows).toBeGreaterThan(100);
    await context.close();
  });

  test("settling is stopped when the person says so; another job opens meanwhile", async () => {
    const context = await at.context();
    const page = await context.newPage();
    // a plan that never ends, as seen from the page
    await page.route("**/plan.worker*", (route) =>
      route.fulfill({ contentType: "text/javascript", body: "" }),
    );
    await page.goto(at.url);
    await ready(page);
    await page.getByRole("button", { name: "Stop placing" }).waitFor();
    await offer(page, "hall.velarium.json", writeJob(benchJob(10, 8, 500)));
    await page.getByRole("button", { name: "Job: bench" }).waitFor();
    await page.getByRole("button", { name: "Job: bench" }).click();
    await page.locator("dialog li").filter({ hasText: "Harbour" }).getByRole("button").first().click();
    await page.getByRole("button", { name: /Job: Harbour/ }).waitFor();
    await ready(page);
    await page.getByRole("button", { name: "Stop placing" }).click();
    await page.getByText("Stopped: the holes are not of this job").waitFor();
    await page.unroute("**/plan.worker*");
    await page.getByRole("button", { name: "Place now" }).click();
    await page.getByText("Stopped: the holes").waitFor({ state: "detached" });
    await openPart(page, "Pattern");
    await page.locator('[data-count="used"]').waitFor();
    await context.close();
  });
});

/** Another build in the place of the one that is served: every hashed name is new, and so is the version. */
function rebuild(folder: string): void {
  const fresh = mkdtempSync(join(tmpdir(), "velarium-newer-"));
  cpSync(folder, fresh, { recursive: true });
  const assets = readdirSync(join(fresh, "assets"));
  const renamed = assets.map((name) => {
    const stem = basename(name, extname(name));
    return [name, `${stem.slice(0, -4)}ZZZZ${extname(name)}`] as const;
  });
  const texts = readdirSync(fresh, { recursive: true, encoding: "utf8" }).filter((n) =>
    /\.(js|css|html)$/.test(n),
  );
  for (const name of texts) {
    let text = readFileSync(join(fresh, name), "utf8");
    for (const [old, now] of renamed) text = text.replaceAll(old, now);
    writeFileSync(
      join(fresh, name),
      text.replace(/"version":\s*"[0-9a-f]{16}"/, '"version":"bbbbbbbbbbbbbbbb"'),
    );
  }
  for (const [old, now] of renamed) renameSync(join(fresh, "assets", old), join(fresh, "assets", now));
  rmSync(folder, { recursive: true });
  cpSync(fresh, folder, { recursive: true });
  rmSync(fresh, { recursive: true });
}

/** How often the one kept job was saved, as the browser's store counts it: steps are thinned in a long run. */
const savesKept = (page: Page): Promise<number> =>
  page.evaluate(
    () =>
      new Promise<number>((done) => {
        const asked = indexedDB.open("velarium");
        asked.onsuccess = () => {
          const jobs = asked.result.transaction("jobs").objectStore("jobs").getAll();
          jobs.onsuccess = () =>
            done((jobs.result as { saves: number }[]).reduce((sum, { saves }) => sum + saves, 0));
        };
      }),
  );

test(
  "a browser killed in the midst of edits has lost none that was said to be kept",
  () =>
    killedInTheMidst("edits", {
      open: async (page) => {
        await page.goto(at.url);
        await ready(page);
      },
      found: savesKept,
      // each time another height than the last, kept or not
      begin: (page, confirmed) => setHeight(page, `${2500 + 10 * (confirmed % 100)} mm`),
      kept: async (page) => {
        await kept(page);
        return 1;
      },
    }),
  KILLED_MS,
);

describe("a newer studio and two tabs", () => {
  test("one changes over, the other saves and follows, and finds a part it had never opened", async () => {
    const own = await stand();
    const context = await own.context({ serviceWorkers: "allow" });
    const one = await own.open(context);
    await inControl(one);
    await kept(one);
    const two = await own.open(context);
    await inControl(two);
    const origins = await Promise.all([one, two].map((page) => page.evaluate(() => performance.timeOrigin)));
    await height(two).click();
    await two.keyboard.press("Control+A");
    await two.keyboard.type("10 ft");
    rebuild(own.folder);
    await one.evaluate(() =>
      navigator.serviceWorker.getRegistration().then((r) => r?.update().then(() => undefined)),
    );
    await one.getByText("A newer Velarium is ready.").waitFor();
    await one.getByRole("button", { name: "Save and update" }).click();
    for (const [i, page] of [one, two].entries()) {
      await page.waitForFunction((origin) => performance.timeOrigin !== origin, origins[i]);
      await ready(page);
      const scripts = await page.evaluate(() => [...document.scripts].map(({ src }) => src).join());
      expect(scripts).toContain("ZZZZ.js");
      expect(await height(page).inputValue()).toBe(`10' 0"`);
    }
    // the older one stays for a tab that has not followed yet
    const caches = await one.evaluate(() => window.caches.keys());
    expect(caches).toHaveLength(2);
    expect(caches).toContain("velarium-bbbbbbbbbbbbbbbb");
    await openPart(two, "Order");
    await openSection(two, "Packs and labels");
    await two.getByRole("button", { name: "Everything (zip)" }).waitFor();
    await context.close();
    await own.close();
  }, 180_000);

  test("a part that can't be had says so, and offers to load again", async () => {
    const context = await at.context();
    const page = await at.open(context);
    await kept(page);
    await page.route("**/assets/**", (route) => route.fulfill({ status: 404 }));
    await openPart(page, "Order");
    await page.getByText(/part of the studio could not be loaded/).waitFor();
    await page.unroute("**/assets/**");
    await page.getByRole("button", { name: "Save and load again" }).click();
    await ready(page);
    await context.close();
  });
});

test("a host that only serves files gives the policy too: in the page, and in a file of headers", async () => {
  const html = readFileSync(join(at.folder, "index.html"), "utf8");
  expect(html).toMatch(/<meta http-equiv="Content-Security-Policy" content="default-src (?:'|&#39;)self/);
  const headers = readFileSync(join(at.folder, "_headers"), "utf8");
  expect(headers).toMatch(/^\/\*\n {2}Content-Security-Policy: .*frame-ancestors 'none'\n/);
});
