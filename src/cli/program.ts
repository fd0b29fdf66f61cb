import { Command, CommanderError } from "commander";
import { registerArchive } from "./archive.ts";
import { registerBoard } from "./board.ts";
import { registerBundles } from "./bundles.ts";
import { registerCheck } from "./check.ts";
import { registerFirm } from "./firm.ts";
import { registerIssue } from "./issue.ts";
import { registerNew } from "./new.ts";
import { registerNights } from "./nights.ts";
import { registerOrder } from "./order.ts";
import { registerPack } from "./pack.ts";
import { registerPhoto } from "./photo.ts";
import { registerPlan } from "./plan.ts";
import { registerRecord } from "./record.ts";
import { registerScene } from "./scene.ts";
import { registerSheets } from "./sheets.ts";
import { registerSkySheet } from "./skysheet.ts";
import { registerSurvey } from "./survey.ts";
import { registerStock } from "./stock.ts";
import { EXIT } from "./shell.ts";

/** The whole command line; each command registers itself. */
export function makeProgram(): Command {
  const program = new Command("velarium")
    .description(
      "Real night skies for fibre-optic star ceilings: from a survey and a date to full-size punch templates.",
    )
    .version("0.1.0", "-V, --version", "say which version this is")
    .helpOption("-h, --help", "explain a command, with an example")
    .helpCommand("help [command]", "explain a command, with an example")
    .showHelpAfterError("(velarium --help explains; velarium help COMMAND shows an example)")
    .exitOverride()
    .addHelpText(
      "after",
      `
From nothing to printed sheets:
  velarium new hall.velarium.json --room "17ft 6in x 13ft 4in" --module 24x24in \\
    --place "Bridgewater, Nova Scotia" --time 2029-09-08T22:00 --strands 1280x0.75,210x1.0,45x1.5
  velarium check hall.velarium.json
  velarium plan hall.velarium.json --out hall

Exit codes: 0 done; 1 it can't be done as asked (bundles, order and pack write what can be done, and tell the rest);
2 the input is wrong; 130 stopped by Ctrl-C.`,
    );
  const commands = [
    registerNew,
    registerSurvey,
    registerFirm,
    registerCheck,
    registerNights,
    registerBoard,
    registerStock,
    registerSkySheet,
    registerPlan,
    registerIssue,
    registerSheets,
    registerBundles,
    registerOrder,
    registerPack,
    registerScene,
    registerPhoto,
    registerArchive,
    registerRecord,
  ];
  for (const register of commands) register(program);
  for (const command of program.commands) command.exitOverride();
  return program;
}

/** Runs the command line with the arguments after its name; leaves the exit code in process.exitCode. */
export async function main(args: string[]): Promise<void> {
  try {
    await makeProgram().parseAsync(args, { from: "user" });
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error;
    process.exitCode = error.exitCode === 0 ? EXIT.done : EXIT.wrongInput;
  }
}
