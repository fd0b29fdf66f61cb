import type { Command } from "commander";
import { JobFaults, wordedIn } from "../job/faults.ts";
import { metresInWords } from "../job/units.ts";
import { asWarning } from "../bundles/faults.ts";
import { costOfFixing } from "../bundles/fixing.ts";
import type { Bundles } from "../bundles/types.ts";
import type { Fault, Warning } from "../job/faults.ts";
import { checkFolder, writeFolder } from "./output.ts";
import { runCommand, type Shell } from "./shell.ts";
import { exitWith, tellBundles, tellFaults } from "./tell.ts";
import { openJob } from "./work.ts";

interface Options {
  out?: string;
  fix?: string[];
  record?: string;
  replace: boolean;
  json: boolean;
}

export function registerBundles(program: Command): void {
  program
    .command("bundles")
    .description("assign the tiles to the light engines: routes, strand lengths, port fill, labels")
    .argument("<job>", "the job file (*.velarium.json)")
    .option("--out <folder>", "write strands.csv, tails.csv and labels there; appears whole or not at all")
    .option("--fix <tile=engine...>", "give tiles to engines and say what that costs, as C4=A D4=A")
    .option("--record <file>", "what happened at the bench and since: tables and labels are then as built")
    .option("--replace", "put it in the place of an earlier folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText("after", "\nExample:\n  velarium bundles hall.velarium.json --fix C4=A --out hall-bundles")
    .action(async (path: string, options: Options) => {
      let faults: Fault[] = [];
      await runCommand(options.json, async (shell) => {
        if (options.out !== undefined) await checkFolder(options.out, options.replace);
        if (options.fix) return costOf(path, readFixes(options.fix), shell);
        const { work, chosen, job } = await openJob(path, shell);
        const made = await work.upTo(chosen, "bundles", shell);
        const { bundles } = made.bundles;
        faults = wordedIn(job.units, bundles.faults);
        const missing: Warning[] = [];
        let folder: string | undefined;
        if (options.out !== undefined) {
          const { recordFor } = await import("./recordFile.ts");
          const how = {
            ...(await recordFor(job, options.record)),
            signal: shell.signal,
            onWarning: (warning: Warning) => missing.push(warning),
          };
          const files = await work.print(chosen, "bundleFiles", how, shell);
          folder = await writeFolder(options.out, files, {
            replace: options.replace,
            signal: shell.catchInterrupts(),
          });
        }
        const warnings = [...wordedIn(job.units, bundles.warnings), ...missing];
        shell.warn(warnings);
        tellFaults(faults, shell);
        shell.say(
          `${job.title}: ${made.holes.pattern.holes.length} holes, ${bundles.engines.length} engines`,
        );
        tellBundles(bundles, job.units, shell);
        if (folder !== undefined) shell.say(`Written: ${folder}`);
        const { strands, ...rest } = bundles;
        return {
          ...rest,
          warnings,
          strands: strands.length,
          ...(folder === undefined ? {} : { out: folder }),
        };
      });
      exitWith(faults);
    });
}

/** "C4=A" to tile and engine. Throws JobFaults. */
function readFixes(texts: readonly string[]): Record<string, string> {
  const pairs = texts.flatMap((words) => words.split(",")).map((words) => words.trim());
  const wrong = pairs.filter((pair) => !/^[A-Za-z]+\d+(-\d+)?=[A-Za-z]{1,2}$/.test(pair));
  if (wrong.length > 0)
    throw new JobFaults([
      {
        path: "--fix",
        expected: "tile=engine",
        got: wrong.join(", "),
        next: "As C4=A: tile C4 to engine A.",
      },
    ]);
  return Object.fromEntries(pairs.map((pair) => pair.toUpperCase().split("=") as [string, string]));
}

async function costOf(path: string, fixes: Record<string, string>, shell: Shell): Promise<object> {
  const { work, chosen, job } = await openJob(path, shell);
  const fixed = { ...job.bundles.fixed, ...fixes };
  const sharedOut = async (tiles: Record<string, string>): Promise<Bundles> => {
    const asked = { ...chosen, job: { ...job, bundles: { ...job.bundles, fixed: tiles } } };
    return (await work.upTo(asked, "bundles", shell)).bundles.bundles;
  };
  const chosenWay = await sharedOut(fixed);
  const free = await sharedOut({});
  const cost = costOfFixing(chosenWay, free);
  shell.warn(wordedIn(job.units, chosenWay.faults).map(asWarning));
  const words = Object.entries(fixed).map(([t, e]) => `${t} to ${e}`);
  shell.say(
    `${words.join(", ")}: ${metresInWords(cost.strandM, job.units)} of strand more, ${cost.dark} more dark, ${cost.splits} more tiles split`,
  );
  tellBundles(chosenWay, job.units, shell);
  return {
    strandM: cost.strandM,
    dark: cost.dark,
    splits: cost.splits,
    allotment: chosenWay.allotment,
    free: free.allotment,
  };
}
