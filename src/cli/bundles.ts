import type { Command } from "commander";
import { JobFaults } from "../job/faults.ts";
import type { Fault } from "../job/faults.ts";
import { asWarning, loadBundled } from "./bundled.ts";
import { loadPlan } from "./loadJob.ts";
import { checkFolder, writeFolder } from "./output.ts";
import { runCommand } from "./shell.ts";
import { exitWith, tellBundles, tellFaults } from "./tell.ts";

interface Options {
  out?: string;
  fix?: string[];
  replace: boolean;
  json: boolean;
}

export function registerBundles(program: Command): void {
  program
    .command("bundles")
    .description("share the tiles out to the light engines: routes, strand lengths, port fill, labels")
    .argument("<job>", "the job file (*.velarium.json)")
    .option("--out <folder>", "write strands.csv, tails.csv and labels there; appears whole or not at all")
    .option("--fix <tile=engine...>", "give tiles to engines and say what that costs, as C4=A D4=A")
    .option("--replace", "put it in the place of an earlier folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText("after", "\nExample:\n  velarium bundles hall.velarium.json --fix C4=A --out hall-bundles")
    .action(async (path: string, options: Options) => {
      let faults: Fault[] = [];
      await runCommand(options.json, async (shell) => {
        if (options.out !== undefined) await checkFolder(options.out, options.replace);
        if (options.fix) return costOf(path, readFixes(options.fix), shell);
        const { plan, bundles } = await loadBundled(path, shell);
        faults = bundles.faults;
        let folder: string | undefined;
        if (options.out !== undefined) {
          const [{ bundleFiles }, { loadFonts }] = await Promise.all([
            import("../sheets/pack/files.ts"),
            import("./fonts.ts"),
          ]);
          const files = await bundleFiles(plan, bundles, {
            fonts: await loadFonts(),
            onWarning: (warning) => bundles.warnings.push(warning),
          });
          folder = await writeFolder(options.out, files, { replace: options.replace, signal: shell.signal });
        }
        shell.warn(bundles.warnings);
        tellFaults(faults, shell);
        shell.say(`${plan.job.title}: ${plan.pattern.holes.length} holes, ${bundles.engines.length} engines`);
        tellBundles(bundles, shell);
        if (folder !== undefined) shell.say(`Written: ${folder}`);
        const { strands, ...rest } = bundles;
        return { ...rest, strands: strands.length, ...(folder === undefined ? {} : { out: folder }) };
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

async function costOf(
  path: string,
  fixes: Record<string, string>,
  shell: Parameters<Parameters<typeof runCommand>[1]>[0],
): Promise<object> {
  const { plan, catalog } = await loadPlan(path, shell);
  const [{ costOfFixing }, { loadSolver }] = await Promise.all([
    import("../bundles/fixing.ts"),
    import("./solver.ts"),
  ]);
  shell.progress("Sharing tiles out, fixed and free");
  const options = { solver: await loadSolver(), figures: catalog.figures };
  const cost = costOfFixing(plan, options, { ...plan.job.bundles.fixed, ...fixes });
  shell.warn(cost.fixed.faults.map(asWarning));
  const words = Object.entries({ ...plan.job.bundles.fixed, ...fixes }).map(([t, e]) => `${t} to ${e}`);
  shell.say(
    `${words.join(", ")}: ${cost.strandM.toFixed(1)} m of strand more, ${cost.dark} more dark, ${cost.splits} more tiles split`,
  );
  tellBundles(cost.fixed, shell);
  return {
    strandM: cost.strandM,
    dark: cost.dark,
    splits: cost.splits,
    allotment: cost.fixed.allotment,
    free: cost.free.allotment,
  };
}
