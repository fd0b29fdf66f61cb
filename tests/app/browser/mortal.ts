import { spawn } from "node:child_process";
import { once } from "node:events";
import { chromium, type Page } from "playwright-core";
import { onTestFinished } from "vitest";

/** A browser of its own with a profile that outlives it, to be killed by its process id; it ends with the test at the latest. */
export async function mortal(profile: string): Promise<{ page: Page; kill: () => Promise<void> }> {
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
