import { Option } from "commander";
import type { Command } from "commander";
import { areaWords } from "../job/units.ts";
import { JobFaults, type Warning } from "../job/faults.ts";
import { PAPERS, printerOf, QUICKEST } from "../sheets/papers.ts";
import { said } from "../work/stage.ts";
import type { How } from "../work/work.ts";
import { checkFolder, pause, writeAndList } from "./output.ts";
import { runCommand, type Shell } from "./shell.ts";
import { openJob } from "./work.ts";

interface Options {
  out?: string;
  papers: boolean;
  paper?: string;
  side?: "back" | "face" | "both";
  face?: "check" | "full";
  list?: string[];
  tile?: string[];
  record?: string;
  replace: boolean;
  json: boolean;
}

export function registerSheets(program: Command): void {
  program
    .command("sheets")
    .description("draw the full-size templates alone: another paper, one side, a few tiles")
    .argument("<job>", "the job file (*.velarium.json)")
    .option("--out <folder>", "where the sheets go; the folder appears whole or not at all")
    .option("--papers", "draw nothing; compare papers: sheets, area and hours for this job", false)
    .option("--paper <name>", `instead of the job's paper: ${PAPERS.map((p) => p.name).join(", ")}`)
    .option("--tile <names...>", "only these tiles, as C4 D4")
    .addOption(
      new Option("--side <side>", "back is read from above (punching), face from below (checking)").choices([
        "back",
        "face",
        "both",
      ]),
    )
    .addOption(
      new Option("--face <how>", "FACE as one reduced sheet a tile, or at full size").choices([
        "check",
        "full",
      ]),
    )
    .option(
      "--list <what...>",
      "no sheets, lines of coordinates.pdf: few for sheets with three holes or fewer, tiles as C4 D4, or none",
    )
    .option("--record <file>", "what happened at the bench and since: everything is then as built")
    .option("--replace", "put them in the place of earlier sheets in that folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      "\nExample:\n  velarium sheets hall.velarium.json --out hall-a3 --paper A3 --side face --face full --tile C4\n  velarium sheets hall.velarium.json --out hall-a4 --list few F9",
    )
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        if (options.papers) return comparePapers(path, shell);
        const { out } = options;
        if (out === undefined) throw new JobFaults([NO_FOLDER]);
        await checkFolder(out, options.replace);
        const { work, chosen, job } = await openJob(path, shell);
        const { recordFor } = await import("./recordFile.ts");
        const { ceiling } = await work.upTo(chosen, "ceiling", shell);
        const missing: Warning[] = [];
        const how: How<"sheets"> = {
          ...(await recordFor(job, options.record)),
          ...(options.paper === undefined ? {} : { paper: options.paper }),
          ...(options.side === undefined ? {} : { sides: sidesOf(options.side) }),
          ...(options.face === undefined ? {} : { face: options.face }),
          ...(options.list === undefined ? {} : listWish(options.list, ceiling.tiles)),
          ...(options.tile === undefined ? {} : { tiles: knownTiles("--tile", options.tile, ceiling.tiles) }),
          signal: shell.signal,
          pause,
          onWarning: (warning) => missing.push(warning),
          onProgress: (done, total) => shell.progress(`Drawing sheets: ${done} of ${total} tiles`),
        };
        const drawn = await work.print(chosen, "sheets", how, shell);
        const { folder, files } = await writeAndList(out, drawn, {
          replace: options.replace,
          signal: shell.catchInterrupts(),
        });
        const warnings = [...said((await work.upTo(chosen, "bundles")).warnings), ...missing];
        shell.warn(warnings);
        shell.say(`Written: ${folder} (${files.length} files)`);
        return { out: folder, files, warnings };
      }),
    );
}

const NO_FOLDER = {
  path: "--out",
  expected: "a folder for the sheets, or --papers",
  got: "neither",
  next: "Say where the sheets go, as --out hall-sheets, or compare papers with --papers.",
};

/** Sheets, area and hours on every paper, for one side of all templates. */
async function comparePapers(path: string, shell: Shell): Promise<object> {
  const { work, chosen, job } = await openJob(path, shell);
  const given = await work.upTo(chosen, "holes", shell);
  const [{ paperChoices }, { planned }] = await Promise.all([
    import("../sheets/paperChoice.ts"),
    import("../work/stage.ts"),
  ]);
  const choices = paperChoices(planned(given));
  shell.say(`One side of all templates of ${job.title}; hours to place them are an estimate:`);
  for (const { paper, sheets, listed, areaM2, hours, best } of choices)
    shell.say(
      `  ${paper.name.padEnd(10)} ${String(sheets).padStart(5)} sheets ${areaWords(areaM2, job.units).padStart(9)} ${hours.toFixed(1).padStart(6)} h` +
        `${listed > 0 ? `, ${listed} holes listed` : ""}` +
        `${paper.name === job.sheets.paper ? "  the job's paper" : ""}${best ? `  ${QUICKEST[printerOf(paper)]}` : ""}`,
    );
  return { papers: choices.map(({ paper, ...rest }) => ({ paper: paper.name, ...rest })) };
}

const sidesOf = (side: "back" | "face" | "both"): ("back" | "face")[] =>
  side === "both" ? ["back", "face"] : [side];

/** "few", tiles, or both; "none" where the job lists and this print shall not. */
function listWish(
  words: string[],
  tiles: readonly { name: string }[],
): Pick<How<"sheets">, "listFew" | "listed"> {
  const names = words.flatMap((text) => text.split(",")).filter((name) => !/^(few|none)$/i.test(name.trim()));
  return {
    listFew: words.some((text) => /\bfew\b/i.test(text)),
    listed: names.length === 0 ? [] : knownTiles("--list", names, tiles),
  };
}

function knownTiles(path: string, wanted: string[], tiles: readonly { name: string }[]): string[] {
  const names = wanted.flatMap((text) => text.split(",")).map((name) => name.trim().toUpperCase());
  const unknown = names.filter((name) => !tiles.some((tile) => tile.name === name));
  if (unknown.length === 0) return names;
  throw new JobFaults([
    {
      path,
      expected: `tiles of this ceiling, ${tiles[0]?.name} to ${tiles.at(-1)?.name}`,
      got: unknown.join(", "),
      next: "Rows are lettered from the top of the plan, columns numbered from the left.",
    },
  ]);
}
