import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import type { Plugin } from "vite";

/** The service worker's source holds this word where the list goes. */
export const PRECACHE_MARK = "__VELARIUM_PRECACHE__";

/** Needed to work offline; the deep star set, what reads PDFs and further fonts (.woff) are fetched, and then kept, only by who needs them. */
const KEPT = /\.(html|js|css|woff2|svg|png|webmanifest|bin|json|md|txt|wasm|ttf)$/;
const ON_DEMAND = /stars-deep|pdfPage|pdf\.worker/;

/** Writes into sw.js what it has to keep for offline work, and a version that changes with any of it. */
export function writePrecache(): Plugin {
  return {
    name: "velarium-precache",
    enforce: "post",
    apply: "build",
    generateBundle(_options, bundle) {
      const worker = bundle["sw.js"];
      if (worker?.type !== "chunk") throw new Error("sw.js is missing from the build");
      const hash = createHash("sha256").update(worker.code);
      const files: string[] = [];
      for (const name of Object.keys(bundle).sort()) {
        if (name === "sw.js" || !KEPT.test(name) || ON_DEMAND.test(name)) continue;
        const output = bundle[name];
        if (output === undefined) continue;
        hash.update(name).update(output.type === "chunk" ? output.code : output.source);
        files.push(`/${name}`);
      }
      for (const name of readdirSync("public").sort()) {
        hash.update(readFileSync(`public/${name}`));
        files.push(`/${name}`);
      }
      const list = { version: hash.digest("hex").slice(0, 16), files };
      const before = worker.code;
      worker.code = before.replace(new RegExp(`["'\`]${PRECACHE_MARK}["'\`]`), JSON.stringify(list));
      if (worker.code === before) throw new Error("sw.js has no place for the list of files");
    },
  };
}
