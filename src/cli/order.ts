import { CODES } from "../job/codes.ts";
import type { Command } from "commander";
import { wordedIn, type Fault, type Warning } from "../job/faults.ts";
import { checkFolder, writeFolder } from "./output.ts";
import { runCommand } from "./shell.ts";
import { exitWith, tellFaults, tellTakeoff } from "./tell.ts";
import { openJob } from "./work.ts";

interface Options {
  out?: string;
  record?: string;
  replace: boolean;
  json: boolean;
}

export function registerOrder(program: Command): void {
  program
    .command("order")
    .description("what to buy, how long it takes, what it weighs and costs; a quote to send")
    .argument("<job>", "the job file (*.velarium.json)")
    .option(
      "--out <folder>",
      "write order.csv, quote.pdf, quote.csv, cut-plan.svg; appears whole or not at all",
    )
    .option(
      "--record <file>",
      "what happened at the bench and since: the order is then as built, with the spares that were used",
    )
    .option("--replace", "put it in the place of an earlier folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText("after", "\nExample:\n  velarium order hall.velarium.json --out hall-order")
    .action(async (path: string, options: Options) => {
      let faults: Fault[] = [];
      await runCommand(options.json, async (shell) => {
        if (options.out !== undefined) await checkFolder(options.out, options.replace);
        const { work, chosen, job } = await openJob(path, shell);
        const { recordFor } = await import("./recordFile.ts");
        const record = await recordFor(job, options.record);
        const made = await work.upTo(chosen, "takeoff", shell);
        const { bundles } = made;
        const { builtOf, takeoffAsBuilt } = await import("../work/asBuilt.ts");
        const takeoff = takeoffAsBuilt(builtOf(made, record.record), made.takeoff, record.record);
        // an order needs no engines: lengths are then assumed, and it says so
        const named = wordedIn(job.units, bundles.bundles.faults).filter(
          ({ code }) => CODES[code] !== "unbundled",
        );
        faults = [...named, ...takeoff.faults];
        const missing: Warning[] = [];
        let folder: string | undefined;
        if (options.out !== undefined) {
          const how = {
            ...record,
            signal: shell.signal,
            onWarning: (warning: Warning) => missing.push(warning),
          };
          const files = await work.print(chosen, "order", how, shell);
          folder = await writeFolder(options.out, files, {
            replace: options.replace,
            signal: shell.catchInterrupts(),
          });
        }
        shell.warn([...takeoff.warnings, ...missing]);
        tellFaults(faults, shell);
        shell.say(`${job.title}:`);
        for (const { item, detail, quantity, unit } of takeoff.order)
          shell.say(`  ${item}: ${quantity} ${unit}${detail ? ` (${detail})` : ""}`);
        tellTakeoff(takeoff, job.units, shell);
        if (folder !== undefined) shell.say(`Written: ${folder}`);
        const { cutPlan, ...rest } = takeoff;
        return {
          ...rest,
          warnings: [...takeoff.warnings, ...missing],
          faults,
          cutLengthM: cutPlan.lengthUm / 1e6,
          ...(folder === undefined ? {} : { out: folder }),
        };
      });
      exitWith(faults);
    });
}
