import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { ShareLog } from "../../../scripts/app/share/log.ts";
import { Share } from "../../../scripts/app/share/share.ts";
import { ready, stand, type Stand, TABLET_HOST, wrongsOf } from "./harness.ts";
import { KILLED_MS, killedInTheMidst } from "./mortal.ts";

const folder = mkdtempSync(join(tmpdir(), "velarium-shared-"));
const log = new ShareLog(folder);
const share = new Share(
  log,
  () => undefined,
  (words) => console.error(words),
);
let at: Stand;
let phoneUrl: string;
beforeAll(async () => {
  at = await stand((request, response) => share.answer(request, response));
  phoneUrl = at.url.replace("localhost", TABLET_HOST).replace(/\/$/, "");
  share.address = phoneUrl;
});
afterAll(async () => {
  await at.close();
  await log.close();
  rmSync(folder, { recursive: true, force: true });
});

const TILE = "D4";
const says = (page: Page, words: RegExp | string) => page.getByText(words).first().waitFor();
const atTile = async (page: Page): Promise<void> => {
  await page.getByRole("button", { name: new RegExp(`^(Tile )?${TILE}\\b`) }).click();
  await page.getByRole("button", { name: /^punched/ }).click();
};
/** Ticks the next hole so many times; gives the number of the last. */
async function ticks(page: Page, count: number): Promise<string> {
  let name = "";
  for (let i = 0; i < count; i++) {
    name = await page.locator(".dock .no").innerText();
    await page.locator(".dock .big").click();
    await expect.poll(() => page.locator(".dock .no").innerText()).not.toBe(name);
  }
  return name;
}
/** The hole that comes next: tells how far the tile is on this device. */
const comes = (page: Page, name: string) =>
  expect.poll(() => page.locator(".dock .no").innerText(), { timeout: 20_000 }).toBe(name);

/** A phone in the same network, whose address is no secure context. */
const phone = (): Promise<BrowserContext> =>
  at.context({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });

test("a phone scans the code, goes on alone when the network drops, and catches up; nobody else gets in", async () => {
  const desk = await at.context();
  const one = await desk.newPage();
  await one.goto(`${at.url}#shared`);
  await ready(one);
  await says(one, "Shared; no other device is here now");
  expect(new URL(one.url()).hash).toBe("");
  await one.getByRole("button", { name: /^Job: / }).click();
  await one.getByRole("button", { name: "Several devices" }).click();
  await one.getByRole("img", { name: "Code for the next device" }).waitFor();
  await one.keyboard.press("Escape");
  await one.keyboard.press("Escape");

  const stranger = await phone();
  const outside = await stranger.newPage();
  await outside.goto(phoneUrl);
  await says(outside, "Scan the code on the computer that shares it.");
  await outside.goto(`${phoneUrl}/join#${"A".repeat(22)}`);
  await says(outside, /This code is not good/);

  const joined = await phone();
  const two = await joined.newPage();
  const code = share.joinAddress()!;
  await two.goto(code);
  await two.getByRole("button", { name: "Noted" }).click();
  await says(two, "Shared with 1 device");
  await says(one, "Shared with 1 device");
  expect(await two.title()).toBe("Harbour dining room · Velarium");
  expect(two.url()).not.toContain(code.slice(-22));
  await outside.goto("about:blank");
  await outside.goto(code);
  await says(outside, /each lets one device in/);

  await one.getByRole("button", { name: "Bench" }).click();
  await atTile(one);
  await atTile(two);
  await ticks(one, 2);
  await comes(two, "3");
  await ticks(two, 1);
  await comes(one, "4");

  await joined.setOffline(true);
  await says(two, /^Alone; catches up later/);
  // both go on, and do the same hole too
  expect(await ticks(two, 3)).toBe("6");
  await says(two, "Alone; catches up later with 3 entries");
  expect(await ticks(one, 1)).toBe("4");
  await comes(two, "7");
  await comes(one, "5");
  await joined.setOffline(false);
  await comes(one, "7");
  await says(two, "Shared with 1 device");

  // what was done is there after loading again; the design is the desk's
  await two.reload();
  await says(two, "Shared with 1 device");
  await two.getByRole("button", { name: /^punched/ }).click();
  await comes(two, "7");
  await two.getByRole("button", { name: "Tiles", exact: true }).click();
  await two.getByRole("button", { name: "Leave", exact: true }).click();
  await two.getByRole("button", { name: "Survey" }).click();
  await ready(two);
  const height = (page: Page) => page.getByLabel("Ceiling height", { exact: true });
  await height(two).fill("10 ft");
  await height(two).blur();
  await says(two, /its design is changed on the computer that shares it/);
  await one.getByRole("button", { name: "Tiles", exact: true }).click();
  await one.getByRole("button", { name: "Leave", exact: true }).click();
  await one.getByRole("button", { name: "Survey" }).click();
  await height(one).fill("11 ft");
  await height(one).blur();
  await expect.poll(() => height(two).inputValue(), { timeout: 20_000 }).toBe(`11' 0"`);

  expect(wrongsOf(desk)).toEqual([]);
  // what a browser says of a network that is gone, of a door that is closed, and of plain HTTP
  const known = /ERR_INTERNET_DISCONNECTED|403|Cross-Origin-Opener-Policy/;
  const own = (words: string): boolean => words.startsWith(phoneUrl);
  expect(
    [...wrongsOf(joined), ...wrongsOf(stranger)].filter((words) => !known.test(words) && !own(words)),
  ).toEqual([]);
  for (const context of [desk, joined, stranger]) await context.close();
}, 180_000);

/** Entries in the browser's own store, of whichever job. */
const entriesKept = (page: Page): Promise<number> =>
  page.evaluate(
    () =>
      new Promise<number>((done) => {
        const asked = indexedDB.open("velarium-record");
        asked.onsuccess = () => {
          const count = asked.result.transaction("entries").objectStore("entries").count();
          count.onsuccess = () => done(count.result);
        };
      }),
  );

/** The tiles of the demo with most holes, 60 and more: each kill leaves a hole ticked, and a long run must not run out of them. */
const FULL = ["E5", "D6"];

test(
  "a browser killed in the midst of ticks has lost none that was said to be kept",
  () =>
    killedInTheMidst("entries", {
      open: async (page, kill) => {
        await page.goto(`${at.url}#bench=${FULL[kill % FULL.length]}`);
        const step = ["punched", "threaded", "glued"][kill % 3]!;
        await page.getByRole("button", { name: new RegExp(`^${step}`) }).click();
        await page.locator(".bench[data-kept]").waitFor();
      },
      found: entriesKept,
      begin: (page) => page.locator(".dock .big").click(),
      // a tick, and its undoing: an entry each
      kept: async (page) => {
        await page.getByRole("button", { name: /^Undo: / }).click();
        await page.locator(".bench[data-kept]").waitFor();
        return 2;
      },
    }),
  KILLED_MS,
);
