import { spawnSync } from "node:child_process";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";

const FOLDER = "out/test/planted";

const FILES: Record<string, string> = {
  "tsconfig.json": JSON.stringify({ extends: "../../../tsconfig.json", include: ["."] }),
  "Wrong.ts": 'export const lengthMm: number = "long";\n',
  "Wrong.svelte": '<script lang="ts">\n  const lengthMm: number = "long";\n</script>\n\n<p>{lengthMm}</p>\n',
};

/** Plants a wrong type in a TypeScript and in a Svelte file: the checker must find both. */
export function plantedErrors(): boolean {
  rmSync(FOLDER, { recursive: true, force: true });
  mkdirSync(FOLDER, { recursive: true });
  for (const [name, text] of Object.entries(FILES)) writeFileSync(`${FOLDER}/${name}`, text);
  try {
    const args = [
      "--workspace",
      FOLDER,
      "--tsconfig",
      "tsconfig.json",
      "--output",
      "machine",
      "--tsgo-experimental-api",
    ];
    const result = spawnSync("npx", ["--no-install", "svelte-check", ...args], { encoding: "utf8" });
    const found = result.status !== 0 && ["Wrong.ts", "Wrong.svelte"].every((f) => result.stdout.includes(f));
    if (!found) console.error(`a planted error was not found:\n${result.stdout}`);
    return found;
  } finally {
    rmSync(FOLDER, { recursive: true, force: true });
  }
}
