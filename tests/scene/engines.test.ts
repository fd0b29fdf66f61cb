import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";
import { expect, test } from "vitest";
import { build } from "vite";
import { frameHashes } from "./engineEntry.ts";

/** Outside the project: Chromium's own engine, which rounds sines and powers unlike Node's. */
test("30 twinkling frames are the same bytes in Node and in Chromium", async () => {
  const built = await build({
    configFile: false,
    logLevel: "silent",
    build: {
      write: false,
      minify: false,
      lib: {
        entry: fileURLToPath(new URL("engineEntry.ts", import.meta.url)),
        name: "frames",
        formats: ["iife"],
      },
    },
  });
  const [first] = Array.isArray(built) ? built : [built];
  const chunk = "output" in first! ? first.output[0] : undefined;
  if (chunk?.type !== "chunk") throw new Error("nothing was built");
  const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  try {
    const page = await browser.newPage();
    await page.addScriptTag({ content: chunk.code });
    const theirs = await page.evaluate("frames.frameHashes()");
    const ours = frameHashes();
    expect(new Set(ours).size).toBe(30);
    expect(theirs).toEqual(ours);
  } finally {
    await browser.close();
  }
});
