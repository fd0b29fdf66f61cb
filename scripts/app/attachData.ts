import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import type { Plugin } from "vite";

/** Folders that the studio fetches from, and what of them it may fetch. */
const SERVED: { folder: string; files: RegExp }[] = [
  { folder: "catalog", files: /\.(bin|json|md)$/ },
  { folder: "demo", files: /\.velarium\.json$/ },
];

/** Serves the catalogue and the demo job beside the studio: from the work tree in development, copied into the build. */
export function attachData(): Plugin {
  return {
    name: "velarium-attach-data",
    configureServer(server) {
      server.middlewares.use((request, response, next) => {
        const path = decodeURIComponent((request.url ?? "").split("?")[0] ?? "").slice(1);
        const file = servedFiles().find((f) => f === path);
        if (file === undefined) return next();
        response.setHeader("content-type", "application/octet-stream");
        response.end(readFileSync(file));
      });
    },
    generateBundle() {
      for (const file of servedFiles()) {
        this.emitFile({ type: "asset", fileName: file, source: readFileSync(file) });
      }
    },
  };
}

function servedFiles(): string[] {
  return SERVED.flatMap(({ folder, files }) =>
    existsSync(folder)
      ? readdirSync(folder)
          .filter((name) => files.test(name))
          .sort()
          .map((name) => join(folder, name))
      : [],
  );
}
