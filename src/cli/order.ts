import { CODES } from "../job/codes.ts";
import type { Command } from "commander";
import type { Fault } from "../job/faults.ts";
import { loadBundled } from "./bundled.ts";
import { checkFolder, writeFolder } from "./output.ts";
import { runCommand } from "./shell.ts";
import { exitWith, tellFaults, tellTakeoff } from "./tell.ts";

interface Options {
  out?: string;
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
    .option("--replace", "put it in the place of an earlier folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText("after", "\nExample:\n  velarium order hall.velarium.json --out hall-order")
    .action(async (path: string, options: Options) => {
      let faults: Fault[] = [];
      await runCommand(options.json, async (shell) => {
        if (options.out !== undefined) await checkFolder(options.out, options.replace);
        const { plan, bundles } = await loadBundled(path, shell);
        const { orderFiles, takeoffOf } = await import("../sheets/pack/files.ts");
        const takeoff = takeoffOf(plan, bundles);
        // an order needs no engines: lengths are then assumed, and it says so
        const named = bundles.faults.filter(({ code }) => CODES[code] !== "unbundled");
        faults = [...named, ...takeoff.faults];
        let folder: string | undefined;
        if (options.out !== undefined) {
          const { loadFonts } = await import("./fonts.ts");
          const files = await orderFiles(plan, bundles, {
            fonts: await loadFonts(),
            onWarning: (warning) => takeoff.warnings.push(warning),
          });
          folder = await writeFolder(options.out, files, { replace: options.replace, signal: shell.signal });
        }
        shell.warn(takeoff.warnings);
        tellFaults(faults, shell);
        shell.say(`${plan.job.title}:`);
        for (const { item, detail, quantity, unit } of takeoff.order)
          shell.say(`  ${item}: ${quantity} ${unit}${detail ? ` (${detail})` : ""}`);
        tellTakeoff(takeoff, shell);
        if (folder !== undefined) shell.say(`Written: ${folder}`);
        const { cutPlan, ...rest } = takeoff;
        return {
          ...rest,
          faults,
          cutLengthM: cutPlan.lengthUm / 1e6,
          ...(folder === undefined ? {} : { out: folder }),
        };
      });
      exitWith(faults);
    });
}
