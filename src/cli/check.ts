import { passOf } from "../choose/words.ts";
import { dateAndClock } from "../job/writtenTime.ts";
import type { Command } from "commander";
import { ceilingWarnings } from "../ceiling/warnings.ts";
import { makeCeiling } from "../ceiling/ceiling.ts";
import type { Warning } from "../job/faults.ts";
import { cautionsFor } from "../job/cautions.ts";
import { senseWarnings, strayPinWarnings } from "../pattern/sense.ts";
import { momentWarnings, resolveMoment } from "../sky/time.ts";
import { unknownKeyWarnings } from "../work/warnings.ts";
import { loadJob } from "./loadJob.ts";
import { runCommand, type Shell } from "./shell.ts";

export function registerCheck(program: Command): void {
  program
    .command("check")
    .description("look for every fault in a job, without planning it")
    .argument("<job>", "the job file (*.velarium.json)")
    .option(
      "--record <file>",
      "what happened at the bench: tells what a change of each started tile would cost, and works the holes out for that",
    )
    .option("--json", "print the result for machines", false)
    .addHelpText("after", "\nExample:\n  velarium check hall.velarium.json")
    .action((path: string, { json, record }: { json: boolean; record?: string }) =>
      runCommand(json, async (shell) => {
        const { job, night, unknownKeys, migrated } = await loadJob(path, shell);
        const ceiling = makeCeiling(job.ceiling);
        const nightAt = `sky.options[${job.sky.options.indexOf(night)}]`;
        const at = `${nightAt}.moment`;
        const instant = resolveMoment(night.moment, at);
        const warnings = [
          ...unknownKeyWarnings(unknownKeys),
          ...ceilingWarnings(job, ceiling),
          ...momentWarnings(night.moment, instant, at),
          ...senseWarnings(job, night, nightAt, ceiling),
          ...strayPinWarnings(job),
        ];
        const begun = record === undefined ? null : await begunIn(path, record, shell);
        if (begun) warnings.push(...begun.warnings);
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
        for (const words of begun?.costs ?? []) shell.say(`  started, to change it costs ${words}`);
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
          ...(begun && { begun: begun.costs }),
          cautions: cautionsFor(job),
        };
      }),
    );
}

/** What a change of each tile that somebody has begun would cost, and what is to be said of them. */
async function begunIn(
  path: string,
  recordPath: string,
  shell: Shell,
): Promise<{ costs: string[]; warnings: Warning[] }> {
  const { openJob } = await import("./work.ts");
  const { readRecordOf } = await import("./recordFile.ts");
  const { begunOf, begunSaid } = await import("../work/asBuilt.ts");
  const { costWords } = await import("../asBuilt/cost.ts");
  const { work, chosen, job } = await openJob(path, shell);
  const { entries } = await readRecordOf(job, recordPath);
  const made = await work.upTo(chosen, "holes", shell);
  return { costs: begunOf(made, entries).map(costWords), warnings: begunSaid(made, entries) };
}
