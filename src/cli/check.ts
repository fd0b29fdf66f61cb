import { passOf } from "../choose/words.ts";
import { dateAndClock } from "../job/writtenTime.ts";
import type { Command } from "commander";
import { ceilingWarnings } from "../ceiling/warnings.ts";
import { makeCeiling } from "../ceiling/ceiling.ts";
import { cautionsFor } from "../job/cautions.ts";
import { senseWarnings } from "../pattern/sense.ts";
import { momentWarnings, resolveMoment } from "../sky/time.ts";
import { unknownKeyWarnings } from "../work/warnings.ts";
import { loadJob } from "./loadJob.ts";
import { runCommand } from "./shell.ts";

export function registerCheck(program: Command): void {
  program
    .command("check")
    .description("look for every fault in a job, without planning it")
    .argument("<job>", "the job file (*.velarium.json)")
    .option("--json", "print the result for machines", false)
    .addHelpText("after", "\nExample:\n  velarium check hall.velarium.json")
    .action((path: string, { json }: { json: boolean }) =>
      runCommand(json, async (shell) => {
        const { job, night, unknownKeys, migrated } = await loadJob(path, shell);
        const ceiling = makeCeiling(job.ceiling);
        const nightAt = `sky.options[${job.sky.options.indexOf(night)}]`;
        const at = `${nightAt}.moment`;
        const instant = resolveMoment(night.moment, at);
        const warnings = [
          ...unknownKeyWarnings(unknownKeys),
          ...ceilingWarnings(job.ceiling, ceiling),
          ...momentWarnings(night.moment, instant, at),
          ...senseWarnings(job, night, nightAt, ceiling),
        ];
        const strands = job.strands.stock.reduce((sum, s) => sum + s.count, 0);
        const starTiles = ceiling.tiles.filter((tile) => tile.usable.length > 0).length;
        shell.warn(warnings);
        shell.say(`${path}: no fault found.`);
        shell.say(
          `  ${ceiling.tiles.length} tiles, ${starTiles} of them take strands; ${strands} strands in stock`,
        );
        shell.say(
          `  sky: ${night.title || night.id}, ${dateAndClock(instant.localIso, instant.zone, passOf(night.moment))} (${instant.utcIso})`,
        );
        shell.say("What fits the room and the law is not checked here; a plan lists the cautions.");
        return {
          job: path,
          tiles: ceiling.tiles.length,
          starTiles,
          strands,
          utc: instant.utcIso,
          unknownKeys,
          migrated,
          warnings,
          cautions: cautionsFor(job),
        };
      }),
    );
}
