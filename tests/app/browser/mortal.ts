import { spawn } from "node:child_process";
import { once } from "node:events";
import { chromium, type Page } from "playwright-core";

/** A browser of its own with a profile that outlives it, to be killed by its process id. */
export async function mortal(profile: string): Promise<{ page: Page; kill: () => Promise<void> }> {
  const args = ["--headless", "--no-sandbox", "--remote-debugging-port=0", `--user-data-dir=${profile}`];
  const child = spawn("/usr/bin/chromium", args, { detached: true, stdio: ["ignore", "ignore", "pipe"] });
  const address = await new Promise<string>((done, fail) => {
    let said = "";
    child.stderr.on("data", (bytes: Buffer) => {
      const found = /DevTools listening on (ws:\S+)/.exec((said += bytes.toString()));
      if (found) done(found[1]!);
    });
    child.once("exit", () => fail(new Error(said)));
  });
  const browser = await chromium.connectOverCDP(address);
  return {
    page: await browser.contexts()[0]!.newPage(),
    kill: async () => {
      const ended = once(child, "exit");
      process.kill(-child.pid!, "SIGKILL");
      await ended;
    },
  };
}
