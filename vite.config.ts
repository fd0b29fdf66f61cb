import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vite";
import { attachData } from "./scripts/app/attachData.ts";
import { addNotices } from "./scripts/app/notices.ts";
import { attachPolicy } from "./scripts/app/policy.ts";
import { writePrecache } from "./scripts/app/writePrecache.ts";

const rolldownOptions = {
  // A worker is a bundle of its own: what one has from its start (the night its scenes), another loads when it is asked.
  checks: { ineffectiveDynamicImport: false, pluginTimings: false },
  // The solver asks for it where it runs in Node, which is not here.
  external: ["node:module"],
};

export default defineConfig({
  plugins: [svelte(), attachData(), attachPolicy(), addNotices(), writePrecache()],
  worker: { format: "es", rolldownOptions },
  build: {
    target: "es2023",
    // Everything is same-origin and cached: an inlined asset would need `data:` in the policy.
    assetsInlineLimit: 0,
    rolldownOptions: {
      ...rolldownOptions,
      input: { studio: "index.html", sw: "src/app/offline/sw.ts" },
      output: { entryFileNames: (chunk) => (chunk.name === "sw" ? "sw.js" : "assets/[name]-[hash].js") },
    },
  },
});
