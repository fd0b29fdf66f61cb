import { spawnSync } from "node:child_process";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";

const FOLDER = "out/test/planted";

const FILES: Record<string, string> = {
  "tsconfig.json": JSON.stringify({ extends: "../../../tsconfig.json", include: ["."] }),
  "Wrong.ts": 'export const lengthMm: number = "long";\n',
  "Wrong.svelte": '<script lang="ts">\n  const lengthMm: number = "long";\n</script>\n\n<p>{lengthMm}</p>\n',
};

/** Plants a wrong type in a TypeScript and in a Svelte file: each checker must find its own. */
export function plantedErrors(): boolean {
  rmSync(FOLDER, { recursive: true, force: true });
  mkdirSync(FOLDER, { recursive: true });
  for (const [name, text] of Object.entries(FILES)) writeFileSync(`${FOLDER}/${name}`, text);
  try {
    return (
      finds("tsc", ["--noEmit", "-p", FOLDER], "Wrong.ts") &&
      finds(
        "svelte-check",
        ["--workspace", FOLDER, "--tsconfig", "tsconfig.json", "--output", "machine"],
        "Wrong.svelte",
      )
    );
  } finally {
    rmSync(FOLDER, { recursive: true, force: true });
  }
}

function finds(command: string, args: string[], file: string): boolean {
  const result = spawnSync("npx", ["--no-install", command, ...args], { encoding: "utf8" });
  const found = result.status !== 0 && result.stdout.includes(file);
  if (!found) console.error(`${command} did not find the error planted in ${file}:\n${result.stdout}`);
  return found;
}
