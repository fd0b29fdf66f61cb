import type { Command } from "commander";
import { checkJob } from "../check.ts";
import { firmOf, writeFirm } from "../job/firm.ts";
import { readFirm, type Firm } from "../job/firmFile.ts";
import { readJobFile } from "./jobFile.ts";
import { writeNewFile } from "./output.ts";
import { runCommand } from "./shell.ts";

export function registerFirm(program: Command): void {
  program
    .command("firm")
    .description("keep what a firm uses in every job: name, prices, rates, strands, paper, labels, units")
    .argument("<job>", "the job to take it from; its client, room and nights are left out")
    .requiredOption(
      "--out <file>",
      "the firm's file to make, *.firm.json; an existing one is never overwritten",
    )
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      `
Example:
  velarium firm hall.velarium.json --out ours.firm.json
  velarium new loft.velarium.json --firm ours.firm.json --room 5.2x4.1m --module 600x600 ...`,
    )
    .action((path: string, { out, json }: { out: string; json: boolean }) =>
      runCommand(json, async (shell) => {
        const firm = firmOf(checkJob(await readJobFile(path)).job);
        const written = await writeNewFile(out, writeFirm(firm));
        shell.say(`Written: ${written}`);
        return { firm: written };
      }),
    );
}

/** The firm of a file. Throws JobFaults where it can't be read. */
export const firmFrom = async (path: string): Promise<Firm> => readFirm(await readJobFile(path));
