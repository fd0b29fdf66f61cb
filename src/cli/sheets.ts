import { Option } from "commander";
import type { Command } from "commander";
import { JobFaults } from "../job/faults.ts";
import { PAPERS } from "../sheets/papers.ts";
import { loadWithEngines } from "./bundled.ts";
import { checkFolder, writeFolder } from "./output.ts";
import { runCommand } from "./shell.ts";

interface Options {
  out: string;
  paper?: string;
  side?: "back" | "face" | "both";
  tile?: string[];
  replace: boolean;
  json: boolean;
}

export function registerSheets(program: Command): void {
  program
    .command("sheets")
    .description("draw the full-size templates alone: another paper, one side, a few tiles")
    .argument("<job>", "the job file (*.velarium.json)")
    .requiredOption("--out <folder>", "where the sheets go; the folder appears whole or not at all")
    .option("--paper <name>", `instead of the job's paper: ${PAPERS.map((p) => p.name).join(", ")}`)
    .option("--tile <names...>", "only these tiles, as C4 D4")
    .addOption(
      new Option("--side <side>", "back is read from above (punching), face from below (checking)").choices([
        "back",
        "face",
        "both",
      ]),
    )
    .option("--replace", "put them in the place of earlier sheets in that folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      "\nExample:\n  velarium sheets hall.velarium.json --out hall-a3 --paper A3 --side face --tile C4",
    )
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        await checkFolder(options.out, options.replace);
        const { plan, engineOf } = await loadWithEngines(path, shell);
        // loaded late: drawing takes long to load, and only a sound job needs it
        const [{ makeSheets }, { loadFonts }] = await Promise.all([
          import("../sheets/files.ts"),
          import("./fonts.ts"),
        ]);
        const files = await makeSheets(plan, {
          fonts: await loadFonts(),
          engineOf,
          ...(options.paper === undefined ? {} : { paper: options.paper }),
          ...(options.side === undefined ? {} : { sides: sidesOf(options.side) }),
          ...(options.tile === undefined ? {} : { tiles: knownTiles(options.tile, plan.ceiling.tiles) }),
          signal: shell.signal,
          onWarning: (warning) => plan.warnings.push(warning),
          onProgress: (done, total) => shell.progress(`Drawing sheets: ${done} of ${total} tiles`),
        });
        const folder = await writeFolder(options.out, files, {
          replace: options.replace,
          signal: shell.signal,
        });
        shell.warn(plan.warnings);
        shell.say(`Written: ${folder} (${files.length} files)`);
        return { out: folder, files: files.map((file) => file.path), warnings: plan.warnings };
      }),
    );
}

const sidesOf = (side: "back" | "face" | "both"): ("back" | "face")[] =>
  side === "both" ? ["back", "face"] : [side];

function knownTiles(wanted: string[], tiles: readonly { name: string }[]): string[] {
  const names = wanted.flatMap((text) => text.split(",")).map((name) => name.trim().toUpperCase());
  const unknown = names.filter((name) => !tiles.some((tile) => tile.name === name));
  if (unknown.length === 0) return names;
  throw new JobFaults([
    {
      path: "--tile",
      expected: `tiles of this ceiling, ${tiles[0]?.name} to ${tiles.at(-1)?.name}`,
      got: unknown.join(", "),
      next: "Rows are lettered from the top of the plan, columns numbered from the left.",
    },
  ]);
}
