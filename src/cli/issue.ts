import type { Command } from "commander";
import { CannotDo, JobFaults } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import { writeJob } from "../job/write.ts";
import { writeNewFile } from "./output.ts";
import { runCommand, type Shell } from "./shell.ts";
import { today } from "./today.ts";
import { openJob } from "./work.ts";

interface Options {
  out: string;
  tiles?: string;
  on?: string;
  takeBack: boolean;
  record?: string;
  startedToo: boolean;
  json: boolean;
}

export function registerIssue(program: Command): void {
  program
    .command("issue")
    .description(
      "fix what is to be punched: from then on issued tiles keep their holes and strands, whatever the job says",
    )
    .argument("<job>", "the job file (*.velarium.json)")
    .requiredOption("--out <file>", "the issued job, *.velarium.json; an existing file is never overwritten")
    .option(
      "--tiles <names>",
      "these tiles alone, as A1,B2; without it all that have holes and are not on HOLD",
    )
    .option("--on <day>", "the day of issue, as 2031-02-14; without it today")
    .option(
      "--take-back",
      "the other way: tiles that nobody has started are worked out again from then on",
      false,
    )
    .option(
      "--record <file>",
      "what happened at the bench: tells which tiles are started, and what taking them back costs",
    )
    .option(
      "--started-too",
      "take back tiles that somebody has started as well, at the cost that is told",
      false,
    )
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      `
Examples:
  velarium issue hall.velarium.json --out hall-issued.velarium.json
  velarium issue hall-issued.velarium.json --take-back --tiles C4,C5 --record hall.record.json --out hall-again.velarium.json

From the issued file every command gives issued tiles as they were issued. What was changed since (stock, seed, spacing,
night, survey) moves only tiles that are not; what would have been otherwise is told.`,
    )
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        const tiles = options.tiles?.split(",").map((name) => name.trim()).filter(Boolean); // prettier-ignore
        if (options.takeBack) return takeBackIssue(path, options, tiles, shell);
        const on = options.on ?? today();
        if (!/^\d{4}-\d\d-\d\d$/.test(on) || Number.isNaN(Date.parse(on)))
          throw new JobFaults([
            {
              path: "--on",
              expected: "a day such as 2031-02-14",
              got: on,
              next: "Write year, month and day.",
            },
          ]);
        const { work, chosen, job } = await openJob(path, shell);
        const made = await work.upTo(chosen, "bundles", shell);
        const { planned, said } = await import("../work/stage.ts");
        const { issueTiles } = await import("../issue/make.ts");
        const { stopQuestions } = await import("../job/stops.ts");
        const plan = planned(made);
        const exchanged = made.bundles.holes !== null;
        const issue = issueTiles(plan, made.bundles.bundles, { on, exchanged, ...(tiles && { tiles }) });
        const file = await writeNewFile(options.out, writeJob(issue.job));
        shell.warn(said(made.warnings));
        for (const { words } of stopQuestions(job)) shell.say(`STOP until settled. ${words}`);
        for (const { tile, why } of issue.held) shell.say(`HOLD ${tile}, not issued. ${why}`);
        const dark = made.bundles.bundles.unlit.filter(({ tile }) => issue.tiles.includes(tile)).length;
        if (dark > 0)
          shell.say(`${dark} of their holes have no engine yet: issue again once they have, and their strands stand too.`); // prettier-ignore
        shell.say(
          issue.tiles.length === 0
            ? "No tile was issued that was not issued before."
            : `Issued, revision ${job.revision}, ${on}: ${listed(issue.tiles)}.`,
        );
        shell.say(`Written: ${file}. Work from this file now.`);
        return {
          out: file,
          revision: job.revision,
          on,
          tiles: issue.tiles,
          before: issue.before,
          held: issue.held,
        };
      }),
    );
}

async function takeBackIssue(
  path: string,
  { out, record, startedToo }: Options,
  tiles: string[] | undefined,
  shell: Shell,
): Promise<object> {
  if (!tiles || tiles.length === 0)
    throw new CannotDo(
      "--take-back needs --tiles.",
      "Name the tiles to be worked out again, as --tiles A1,B2.",
    );
  const { loadJob } = await import("./loadJob.ts");
  const { takeBack } = await import("../issue/make.ts");
  const before = (await loadJob(path, shell)).job;
  const job: Job = takeBack(before, tiles);
  const costs = record === undefined ? null : await costsOf(before, tiles, record);
  if (costs && costs.length > 0) {
    if (!startedToo)
      throw new CannotDo(
        `Somebody has started ${listed(costs.map(({ tile }) => tile))}. Nothing was taken back. Worked out again, that costs ${costs.map(({ words }) => words).join(". ")}`, // prettier-ignore
        "Leave these tiles out, or say --started-too and throw away what was made of them.",
      );
    for (const { words } of costs) shell.say(`Lost by this: ${words}`);
  }
  if (!costs)
    shell.say("Without --record nobody knows here whether these tiles are started: look at the bench.");
  const file = await writeNewFile(out, writeJob(job));
  shell.say(`No longer issued: ${listed(tiles)}. Throw the sheets, labels and lists of these tiles away: they may change now.`); // prettier-ignore
  shell.say(`Written: ${file}`);
  return { out: file, tiles, costs };
}

const listed = (tiles: readonly string[]): string =>
  tiles.length > 12 ? `${tiles.length} tiles (${tiles.slice(0, 12).join(", ")} ...)` : tiles.join(", ");

/** The tiles among these that the record says are begun, each with what a change costs. */
async function costsOf(
  job: Job,
  tiles: readonly string[],
  path: string,
): Promise<{ tile: string; words: string }[]> {
  const { readRecordOf } = await import("./recordFile.ts");
  const { begunTiles, costWords, issuedOnBench } = await import("../asBuilt/cost.ts");
  const { issuedTiles } = await import("../issue/packed.ts");
  const own = issuedTiles(job.issued).filter(({ tile }) => tiles.includes(tile));
  const { entries } = await readRecordOf(job, path);
  return begunTiles(own.map(issuedOnBench), entries, job.takeoff).map((begun) => ({
    tile: begun.tile,
    words: costWords(begun),
  }));
}
