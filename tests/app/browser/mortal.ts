import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium, type Page } from "playwright-core";
import { expect, onTestFinished } from "vitest";

const KILLS = Number(process.env["KILLS"] ?? 1);
/** How long `killedInTheMidst` may take. */
export const KILLED_MS = 120_000 + KILLS * 20_000;

/**
 * A browser is killed again and again in the midst of writing, always with the same profile: each next one must find
 * no less than was said to be kept. `begin` starts to write something, `kept` waits until that, and what else it
 * does, is said to be kept, and gives how much that was; `found` counts what the store holds. Prints the counts as `what`.
 */
export async function killedInTheMidst(
  what: string,
  {
    open,
    found,
    begin,
    kept,
  }: {
    open: (page: Page, kill: number) => Promise<void>;
    found: (page: Page) => Promise<number>;
    begin: (page: Page, confirmed: number) => Promise<void>;
    kept: (page: Page) => Promise<number>;
  },
): Promise<void> {
  const profile = mkdtempSync(join(tmpdir(), "velarium-profile-"));
  onTestFinished(() => rmSync(profile, { recursive: true, force: true }));
  let confirmed = 0;
  for (let kill = 0; kill <= KILLS; kill++) {
    const { page, kill: end } = await mortal(profile);
    await open(page, kill);
    const there = await found(page);
    expect(there).toBeGreaterThanOrEqual(confirmed);
    confirmed = there;
    const until = performance.now() + 300 + ((kill * 397) % 1500);
    while (kill < KILLS && performance.now() < until) {
      await begin(page, confirmed);
      confirmed += await kept(page);
    }
    if (kill < KILLS) await begin(page, confirmed);
    await end();
  }
  console.log(`${confirmed} ${what} said to be kept, ${KILLS} browsers killed, 0 lost`);
  expect(confirmed).toBeGreaterThan(KILLS);
}

/** A browser of its own with a profile that outlives it, to be killed by its process id; it ends with the test at the latest. */
async function mortal(profile: string): Promise<{ page: Page; kill: () => Promise<void> }> {
  const args = ["--headless", "--no-sandbox", "--remote-debugging-port=0", `--user-data-dir=${profile}`];
  // on a blank page: Chromium's own first page moves on while it is being connected to, and then that never ends
  const child = spawn("/usr/bin/chromium", [...args, "about:blank"], {
    detached: true,
    stdio: ["ignore", "ignore", "pipe"],
  });
  const kill = async (): Promise<void> => {
    if (child.exitCode !== null || child.signalCode !== null) return;
    const ended = once(child, "exit");
    process.kill(-child.pid!, "SIGKILL");
    await ended;
  };
  onTestFinished(kill);
  const address = await new Promise<string>((done, fail) => {
    let said = "";
    child.stderr.on("data", (bytes: Buffer) => {
      const found = /DevTools listening on (ws:\S+)/.exec((said += bytes.toString()));
      if (found) done(found[1]!);
    });
    child.once("exit", () => fail(new Error(said)));
  });
  const browser = await chromium.connectOverCDP(address);
  return { page: await browser.contexts()[0]!.newPage(), kill };
}
