import type { Command } from "commander";
import { clockWords } from "../record/clock.ts";
import { type Entry, HOLE_STEPS, TILE_STEPS } from "../record/entry.ts";
import { emptyRecord, type WorkRecord } from "../record/record.ts";
import { byTile, tileState, type TileState } from "../record/state.ts";
import { loadJob } from "./loadJob.ts";
import { writeNewFile } from "./output.ts";
import { runCommand, type Shell } from "./shell.ts";

export function registerRecord(program: Command): void {
  program
    .command("record")
    .description("put the records of several devices together, and tell what was done")
    .argument("<job>", "the job file (*.velarium.json)")
    .argument("<records...>", "records of it, as the bench saves them; in any order, also the same again")
    .option("--out <file>", "all of them as one record; an existing file is never overwritten")
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      "\nExample:\n  velarium record hall.velarium.json phone.record.json tablet.record.json --out both.record.json",
    )
    .action((path: string, files: string[], { out, json }: { out?: string; json: boolean }) =>
      runCommand(json, async (shell) => {
        const { job } = await loadJob(path, shell);
        const { takeOver } = await import("../record/read.ts");
        const { readRecordOf } = await import("./recordFile.ts");
        let record = emptyRecord({ id: job.id ?? "", title: job.title });
        for (const file of files) {
          const before = record.entries.length;
          const read = await readRecordOf(job, file);
          record = takeOver(record, read);
          shell.say(`${file}: ${read.entries.length} entries, ${record.entries.length - before} of them new`);
          const off = clockWords(read.entries, Date.now());
          if (off !== "") shell.warn([{ code: "clock-off", message: off }]);
        }
        const tiles = tilesOf(record);
        tell(record, tiles, shell);
        if (out !== undefined) {
          const { writeRecord } = await import("../record/write.ts");
          shell.say(`Written: ${await writeNewFile(out, writeRecord(record))}`);
        }
        return {
          job: record.job,
          entries: record.entries.length,
          tiles: tiles.map(([tile, state]) => ({ tile, ...countsOf(state), steps: [...state.steps.keys()] })),
          open: tiles.flatMap(([tile, state]) => openHoles(state).map((hole) => ({ tile, hole }))),
        };
      }),
    );
}

type Tiles = [name: string, state: TileState][];

/** Tiles that something happened to, in the order of their names. */
function tilesOf({ entries }: WorkRecord): Tiles {
  const names = new Intl.Collator("en", { numeric: true });
  return [...byTile(entries)]
    .filter(([tile]) => tile !== "")
    .map(([tile, own]): Tiles[number] => [tile, tileState(own)])
    .sort(([a], [b]) => names.compare(a, b));
}

const countsOf = ({ holes }: TileState) =>
  Object.fromEntries(
    HOLE_STEPS.map((step) => [
      step,
      [...holes.values()].filter(({ ticks }) => ticks[step].length > 0).length,
    ]),
  );

const openHoles = ({ holes }: TileState) => [...holes].filter(([, { open }]) => open).map(([hole]) => hole);

function tell(record: WorkRecord, tiles: Tiles, shell: Shell): void {
  const people = namesOf(record.entries, ({ who }) => who);
  const devices = namesOf(record.entries, ({ device }) => device);
  shell.say(
    `Together: ${record.entries.length} entries on ${tiles.length} tiles, by ${people}, on ${devices}`,
  );
  for (const [tile, state] of tiles) {
    const counts = Object.entries(countsOf(state)).map(([step, count]) => `${count} ${step}`);
    const steps = TILE_STEPS.filter((step) => state.steps.has(step));
    shell.say(`  ${tile.padEnd(5)} ${counts.join(", ")}${steps.length > 0 ? `; ${steps.join(", ")}` : ""}`);
    for (const hole of openHoles(state))
      shell.say(`        two say different things of hole ${hole}: decide at the bench`);
  }
}

function namesOf(entries: readonly Entry[], of: (entry: Entry) => string): string {
  const names = [...new Set(entries.map(of))].filter((name) => name !== "").sort();
  return names.length === 0 ? "nobody named" : names.join(", ");
}
