import type { Command } from "commander";
import { wordedIn, type Fault, type Warning } from "../job/faults.ts";
import type { Changes } from "../sheets/pack/changes.ts";
import { planned, said } from "../work/stage.ts";
import { checkFolder, writeFolder } from "./output.ts";
import { runCommand } from "./shell.ts";
import { exitWith, tellBundles, tellFaults, tellTakeoff } from "./tell.ts";
import { openJob } from "./work.ts";

interface Options {
  out: string;
  since?: string;
  record?: string;
  replace: boolean;
  json: boolean;
}

export function registerPack(program: Command): void {
  program
    .command("pack")
    .description("print the paper of the job: one PDF for the van, one for the client, labels")
    .argument("<job>", "the job file (*.velarium.json)")
    .requiredOption("--out <folder>", "where it goes; the folder appears whole or not at all")
    .option("--since <job>", "the job as printed last: lists tiles affected and sheets now stale")
    .option("--record <file>", "what happened at the bench and since: everything is then drawn as built")
    .option("--replace", "put it in the place of an earlier pack in that folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      "\nExample:\n  velarium pack hall.velarium.json --since hall-rev1.velarium.json --out hall-pack",
    )
    .action(async (path: string, options: Options) => {
      let faults: Fault[] = [];
      await runCommand(options.json, async (shell) => {
        await checkFolder(options.out, options.replace);
        const { work, chosen, job } = await openJob(path, shell);
        const { recordFor } = await import("./recordFile.ts");
        const record = await recordFor(job, options.record);
        const { begunSaid } = await import("../work/asBuilt.ts");
        const made = await work.upTo(chosen, "takeoff", shell);
        const { takeoff } = made;
        const { bundles } = made.bundles;
        let changes: Changes | null = null;
        if (options.since !== undefined) {
          const before = await work.upTo((await openJob(options.since, shell)).chosen, "bundles", shell);
          const { changesBetween } = await import("../revision/changes.ts");
          changes = changesBetween(
            { plan: planned(before), bundles: before.bundles.bundles },
            { plan: planned(made), bundles },
          );
        }
        faults = [...wordedIn(job.units, bundles.faults), ...takeoff.faults];
        const missing: Warning[] = [];
        const files = await work.print(
          chosen,
          "pack",
          { changes, ...record, signal: shell.signal, onWarning: (warning) => missing.push(warning) },
          shell,
        );
        const folder = await writeFolder(options.out, files, {
          replace: options.replace,
          signal: shell.catchInterrupts(),
        });
        shell.warn([
          ...said(made.warnings, "job", "sky", "ceiling", "holes"),
          ...begunSaid(made, record.record),
          ...wordedIn(job.units, bundles.warnings),
          ...missing,
          ...takeoff.warnings,
        ]);
        tellFaults(faults, shell);
        shell.say(`${job.title}, revision ${job.revision}`);
        tellBundles(bundles, job.units, shell);
        tellTakeoff(takeoff, job.units, shell);
        if (changes) {
          const tiles = changes.tiles.map(({ tile }) => tile);
          shell.say(
            `  since revision ${changes.fromRevision}: ${tiles.length > 0 ? `tiles ${tiles.join(", ")}` : "no tile touched"}`,
          );
          for (const words of changes.stale) shell.say(`  stale: ${words}`);
          if (changes.notRaised)
            shell.warn([
              {
                code: "revision-not-raised",
                message: `Printed sheets are stale: write revision ${changes.revision} into the job.`,
                path: "revision",
              },
            ]);
        }
        shell.say(`Written: ${folder}`);
        return {
          out: folder,
          files: files.map((file) => file.path),
          faults,
          changes,
          allotment: bundles.allotment,
        };
      });
      exitWith(faults);
    });
}
