import type { Warning } from "../job/faults.ts";
import type { Command } from "commander";
import { said } from "../work/stage.ts";
import { writeNewFile } from "./output.ts";
import { runCommand } from "./shell.ts";
import { openJob } from "./work.ts";

interface Options {
  out: string;
  night?: string;
  paper?: string;
  json: boolean;
}

export function registerSkySheet(program: Command): void {
  program
    .command("skysheet")
    .description("the one page a client signs: the sky looking up, what it is, what is left out")
    .argument("<job>", "the job file (*.velarium.json)")
    .requiredOption("--out <file>", "the page, *.pdf; an existing file is never overwritten")
    .option("--night <id>", "another of the job's nights than the chosen one")
    .option("--paper <name>", "a sheet such as A4, Letter or A3; else A4, or Letter beside American paper")
    .option("--json", "print the result for machines", false)
    .addHelpText("after", "\nExample:\n  velarium skysheet hall.velarium.json --out hall-sky.pdf")
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        const { packPaper, paperByName } = await import("../sheets/papers.ts");
        const asked = options.paper === undefined ? null : paperByName(options.paper);
        const { work, chosen, job } = await openJob(path, shell, options.night);
        const paper = asked ?? packPaper(job);
        const missing: Warning[] = [];
        const onWarning = (warning: Warning) => void missing.push(warning);
        const bytes = await work.print(chosen, "skySheet", { paper, onWarning }, shell);
        const file = await writeNewFile(options.out, bytes);
        const { warnings, sky } = await work.upTo(chosen, "holes");
        shell.warn([...said(warnings), ...missing]);
        shell.say(`Written: ${file} (${paper.name}, revision ${job.revision})`);
        return { out: file, paper: paper.name, revision: job.revision, utc: sky.instant.utcIso };
      }),
    );
}
