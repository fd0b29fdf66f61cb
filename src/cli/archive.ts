import { createHash } from "node:crypto";
import type { Command } from "commander";
import { JobFaults, wordedIn, type Fault, type Warning } from "../job/faults.ts";
import type { OutFile } from "../sheets/files.ts";
import { writeNewFile } from "./output.ts";
import { runCommand } from "./shell.ts";
import { exitWith, tellFaults } from "./tell.ts";
import { today } from "./today.ts";
import { openJob } from "./work.ts";

interface Options {
  out: string;
  record?: string;
  json: boolean;
}

/** What is kept of all that a job prints, where, and what it is. Drawings of single tiles are in the templates already. */
const KEPT: Record<string, [path: string, what: string]> = {
  "holes.csv": ["tables/holes.csv", "every hole: tile, number, star, place, strands, engine"],
  "lost.csv": ["tables/lost.csv", "stars that have no hole, and why"],
  "plan.json": ["tables/plan.json", "counts, how true to the sky it is, warnings, cautions"],
  "plan.svg": ["drawings/plan.svg", "the whole ceiling, seen from above"],
  "plan.dxf": ["drawings/plan.dxf", "the whole ceiling, for drawing programs"],
  "sheets/overview.pdf": ["papers/overview.pdf", "the whole ceiling, and the cautions"],
  "sheets/templates-back.pdf": ["papers/templates-back.pdf", "every tile at true size, from the back"],
  "sheets/check-face.pdf": ["papers/check-face.pdf", "every tile from below, one sheet each"],
  "sheets/coordinates.pdf": ["papers/coordinates.pdf", "holes by their distances from two edges"],
  "van.pdf": ["papers/van.pdf", "what the installers worked from"],
  "client.pdf": ["papers/client.pdf", "for the client and whoever services the ceiling"],
  "labels.pdf": ["papers/labels.pdf", "the labels on tiles and tails"],
  "strands.csv": ["tables/strands.csv", "every strand: hole, engine, length"],
  "tails.csv": ["tables/tails.csv", "every tail: tile, engine, strands, run"],
};

export function registerArchive(program: Command): void {
  program
    .command("archive")
    .description(
      "a finished job as one file that opens in ten years: job, record, papers, tables, a reading guide",
    )
    .argument("<job>", "the job file (*.velarium.json)")
    .requiredOption("--out <file>", "the archive, *.zip; an existing file is never overwritten")
    .option("--record <file>", "what happened at the bench and since: papers and tables are then as built")
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      "\nExample:\n  velarium archive hall-issued.velarium.json --record hall.record.json --out hall-2031.zip",
    )
    .action(async (path: string, options: Options) => {
      let faults: Fault[] = [];
      await runCommand(options.json, async (shell) => {
        if (!/\.zip$/i.test(options.out))
          throw new JobFaults([
            { path: "--out", expected: "a file ending in .zip", got: options.out, next: "Name it so." },
          ]);
        const { work, chosen, job } = await openJob(path, shell);
        const { readRecordOf } = await import("./recordFile.ts");
        const record = options.record === undefined ? null : await readRecordOf(job, options.record);
        const made = await work.upTo(chosen, "takeoff", shell);
        const { bundles } = made.bundles;
        faults = wordedIn(job.units, bundles.faults);
        const told = new Map<string, Warning>();
        const how = {
          signal: shell.signal,
          forKeeping: true,
          onWarning: (warning: Warning) => void told.set(warning.message, warning),
          ...(record && { record: record.entries }),
        };
        const files: (OutFile & { what: string })[] = [];
        const keep = ({ path: from, bytes }: OutFile): void => {
          const to = KEPT[from];
          if (to) files.push({ path: to[0], what: to[1], bytes });
        };
        for await (const file of await work.print(chosen, "plan", how, shell)) keep(file);
        for (const file of await work.print(chosen, "pack", how, shell)) keep(file);

        const [{ archiveOf }, { asBuilt }, { documentSchema }, { planned }] = await Promise.all([
          import("../archive/archive.ts"),
          import("../asBuilt/built.ts"),
          import("../job/documentSchema.ts"),
          import("../work/stage.ts"),
        ]);
        const { differences } = asBuilt(planned(made), bundles, record?.entries ?? []);
        const input = { job, schema: documentSchema(), record, differences, files, on: today() };
        const file = await writeNewFile(options.out, archiveOf(input, sha256));
        if (!job.issued)
          shell.say("Nothing of this job is issued: what is kept is a plan, not what was punched.");
        if (!record)
          shell.say("Without --record nothing tells what differs from the plan, or what was serviced.");
        shell.warn([...told.values()]);
        tellFaults(faults, shell);
        shell.say(`Written: ${file}, with ${files.length} papers and tables and a guide, READ-ME-FIRST.txt`);
        return { out: file, files: files.map((one) => one.path), differences };
      });
      exitWith(faults);
    });
}

const sha256 = (bytes: Uint8Array): string => createHash("sha256").update(bytes).digest("hex");
