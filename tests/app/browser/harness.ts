import { spawnSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import type { Server } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Browser, type BrowserContext, chromium, type Page } from "playwright-core";
import { inject } from "vitest";
import { type Before, listen, staticServer } from "../../../scripts/app/server.ts";

const CHROMIUM = "/usr/bin/chromium";
/** What a page works out in seconds is not worth making quicker first; what it throws away at once has room. */
const QUICK = "--js-flags=--liftoff-only --no-turbofan --min-semi-space-size=16 --max-semi-space-size=32";
/** What moves keeps a processor busy for as long as it is shown: only where it is looked at. */
const CALM = { viewport: { width: 1440, height: 900 }, reducedMotion: "reduce" } as const;

/** The built studio on a port of its own, and a browser. */
export interface Stand {
  url: string;
  folder: string;
  browser: Browser;
  /** A fresh browser profile. */
  context(options?: Parameters<Browser["newContext"]>[0]): Promise<BrowserContext>;
  /** A page on the studio with its job open and its plan made. */
  open(context: BrowserContext): Promise<Page>;
  /**
   * A page that the tests of a file share, with the demo job opened anew: its workers and what they have read stay. A
   * test gives it `back` at its end; one that fails does not, and the next one gets another. With options it is a page
   * of the test's own.
   */
  demo(options?: Parameters<Browser["newContext"]>[0]): Promise<{ context: BrowserContext; page: Page }>;
  back(page: Page): void;
  stopServer(): Promise<void>;
  close(): Promise<void>;
}

/** Everything that must never happen, by page. */
const wrongs = new WeakMap<BrowserContext, string[]>();

export function wrongsOf(context: BrowserContext): string[] {
  return wrongs.get(context) ?? [];
}

/** A name that leads to this machine without being a secure context, as seen from a tablet on the same network. */
export const TABLET_HOST = "tablet.test";
/** Another one, of somebody who is up to something. */
export const FOREIGN_HOST = "foreign.test";

/**
 * The studio as built for this run of the tests (one build serves all files of it), in a folder of its own, so that no
 * other test or edit pulls files from under it.
 */
async function builtStudio(): Promise<string> {
  const run = inject("ofThisRun");
  const built = join(run, "studio");
  const failed = join(run, "failed");
  if (isFirst(join(run, "building"))) {
    const args = ["vite", "build", "--outDir", `${built}.partial`, "--emptyOutDir", "--logLevel", "error"];
    const env = { ...process.env, NODE_ENV: "production" };
    const made = spawnSync("npx", args, { encoding: "utf8", env });
    if (made.status === 0) renameSync(`${built}.partial`, built);
    else writeFileSync(failed, made.stdout + made.stderr);
  }
  while (!existsSync(built)) {
    if (existsSync(failed)) throw new Error(`the studio does not build:\n${readFileSync(failed, "utf8")}`);
    await new Promise((done) => setTimeout(done, 200));
  }
  const folder = mkdtempSync(join(tmpdir(), "velarium-studio-"));
  cpSync(built, folder, { recursive: true });
  return folder;
}

/** Test files run beside each other: the one that makes the folder is the first. */
function isFirst(folder: string): boolean {
  try {
    mkdirSync(folder);
    return true;
  } catch {
    return false;
  }
}

/** Serves the built studio to a browser. */
export async function stand(before?: Before): Promise<Stand> {
  if (!existsSync(CHROMIUM)) throw new Error(`browser tests need ${CHROMIUM}: apt-get install chromium`);
  const folder = await builtStudio();
  const server: Server = staticServer(folder, TABLET_HOST, before);
  const url = await listen(server, 0);
  const names = [TABLET_HOST, FOREIGN_HOST].map((name) => `MAP ${name} 127.0.0.1`).join(", ");
  const browser = await chromium.launch({
    executablePath: CHROMIUM,
    args: ["--no-sandbox", QUICK, `--host-resolver-rules=${names}`],
  });
  const stopServer = async (): Promise<void> => {
    server.closeAllConnections();
    await new Promise<void>((done) => server.close(() => done()));
  };
  const open = async (context: BrowserContext): Promise<Page> => {
    const page = await context.newPage();
    await page.goto(url);
    await ready(page);
    return page;
  };
  let free: Page | null = null;
  return {
    url,
    folder,
    browser,
    context: (options) => watched(browser, url, options),
    open,
    demo: async (options) => {
      const given = options ? null : free;
      if (given) {
        free = null;
        await openDemo(given);
      }
      const page = given ?? (await open(await watched(browser, url, options)));
      return { context: page.context(), page };
    },
    back: (page) => {
      free = page;
    },
    stopServer,
    close: async () => {
      await browser.close();
      await stopServer();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function openDemo(page: Page): Promise<void> {
  await page.getByRole("button", { name: /^Job: / }).click();
  await page.getByRole("button", { name: "Open the demo job" }).click();
  await page.getByRole("dialog").waitFor({ state: "detached" });
  await page.getByRole("button", { name: "Nothing to undo" }).waitFor();
  // where a fresh page stands, wherever the last test left this one
  await page.getByRole("button", { name: "Survey", exact: true }).click();
  const room = page.locator("h2").getByRole("button", { name: /^Room/ });
  if ((await room.getAttribute("aria-expanded")) === "false") await room.click();
  const above = page.getByRole("button", { name: "View from above" });
  if (await above.isVisible()) await above.click();
  await ready(page);
}

/** Waits until the ceiling stands. */
export async function ready(page: Page): Promise<void> {
  await page.locator(".stage .wall").waitFor();
  await page.locator(".tile").first().waitFor({ state: "attached" });
}

/** Waits until every change is written. */
export async function kept(page: Page): Promise<void> {
  await page.getByText("Kept in this browser").first().waitFor({ state: "attached" });
}

async function watched(
  browser: Browser,
  url: string,
  options: Parameters<Browser["newContext"]>[0] = {},
): Promise<BrowserContext> {
  const context = await browser.newContext({ ...CALM, ...options });
  // To keep the whole studio for work without a network is half the work of its start: only where that is tested.
  if (options.serviceWorkers !== "allow")
    await context.addInitScript(() => Reflect.deleteProperty(Navigator.prototype, "serviceWorker"));
  const list: string[] = [];
  wrongs.set(context, list);
  const origin = new URL(url).origin;
  context.on("request", (request) => {
    const from = request.url();
    if (!from.startsWith(origin) && !from.startsWith("blob:") && !from.startsWith("data:")) list.push(from);
  });
  context.on("console", (message) => {
    if (message.type() === "error" && !/ERR_CONNECTION_REFUSED/.test(message.text()))
      list.push(message.text());
  });
  context.on("weberror", (error) => list.push(String(error.error())));
  // File pickers can't be driven from outside; browsers without them take the other way, which can.
  await context.addInitScript(() => {
    Reflect.deleteProperty(window, "showOpenFilePicker");
    Reflect.deleteProperty(window, "showSaveFilePicker");
    document.addEventListener("securitypolicyviolation", (event) =>
      console.error(`policy: ${event.violatedDirective} ${event.blockedURI}`),
    );
  });
  return context;
}
