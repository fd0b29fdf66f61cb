import type { Command } from "commander";
import { withLengths } from "./lengths.ts";
import { loadPlan } from "./loadJob.ts";
import { writeNewFile } from "./output.ts";
import { runCommand } from "./shell.ts";

interface Options {
  out: string;
  night?: string;
  paper?: string;
  json: boolean;
}

export function registerSkySheet(program: Command): void {
  program
    .command("skysheet")
    .description("the one page a client signs: the sky looking up, what it is, what is missing from it")
    .argument("<job>", "the job file (*.velarium.json)")
    .requiredOption("--out <file>", "the page, *.pdf; an existing file is never overwritten")
    .option("--night <id>", "another of the job's skies than the chosen one")
    .option("--paper <name>", "a sheet such as A4, Letter or A3", "A4")
    .option("--json", "print the result for machines", false)
    .addHelpText("after", "\nExample:\n  velarium skysheet hall.velarium.json --out hall-sky.pdf")
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        const { paperByName } = await import("../sheets/papers.ts");
        const paper = paperByName(options.paper ?? "A4");
        const { plan: bare, catalog } = await loadPlan(path, shell, options.night);
        // What is signed is what is punched: strands may have been exchanged for their lengths.
        const { plan } = bare.job.bundles.compensateLength
          ? await withLengths(bare, catalog, shell)
          : { plan: bare };
        const [{ makeSkySheet }, { loadFonts }] = await Promise.all([
          import("../sheets/shown.ts"),
          import("./fonts.ts"),
        ]);
        shell.progress("Drawing");
        const bytes = await makeSkySheet(plan, catalog.figures, paper, await loadFonts());
        const file = await writeNewFile(options.out, bytes);
        shell.warn(plan.warnings);
        shell.say(`Written: ${file} (${paper.name}, revision ${plan.job.revision})`);
        return { out: file, paper: paper.name, revision: plan.job.revision, utc: plan.frame.instant.utcIso };
      }),
    );
}
