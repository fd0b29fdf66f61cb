import { basename } from "node:path";
import { Option } from "commander";
import type { Command } from "commander";
import { MODULE_PRESETS } from "../ceiling/presets.ts";
import { checkJob } from "../check.ts";
import { JobFaults } from "../job/faults.ts";
import { writeJob } from "../job/write.ts";
import { firmFrom } from "./firm.ts";
import { loadPlaces } from "./catalogFiles.ts";
import { placeByCoordinates, placeByName } from "./findPlace.ts";
import type { FoundPlace } from "./findPlace.ts";
import { newJob } from "./newJob.ts";
import type { Answers } from "./newJob.ts";
import { writeNewFile } from "./output.ts";
import { runCommand } from "./shell.ts";

interface Options extends Omit<Answers, "title" | "place" | "zone" | "firm"> {
  title?: string;
  firm?: string;
  place?: string;
  at?: string;
  zone?: string;
  json: boolean;
}

export function registerNew(program: Command): void {
  program
    .command("new")
    .description("start a job file from a few measurements of a rectangular room")
    .argument("<file>", "the job file to make (*.velarium.json); an existing one is never overwritten")
    .requiredOption("--room <width x depth>", 'along and across the plan: "17ft 6in x 13ft 4in", 5.3x4.1m')
    .requiredOption(
      "--module <size>",
      `centre to centre of tees, measured: ${MODULE_PRESETS.map((p) => p.id).join(", ")}, or a size`,
    )
    .option("--tee <face>", "wide (15/16 in, 24 mm), narrow (9/16 in, 15 mm), or a width", "wide")
    .option("--height <length>", "floor to ceiling")
    .option(
      "--bearing <degrees>",
      "true compass bearing of the plan's top edge, as seen from the room's middle",
    )
    .option("--place <name>", 'town of the gazetteer, as "Bridgewater, Nova Scotia"')
    .option("--at <lat, lon>", 'or coordinates in degrees, north and east positive: "44.38, -64.32"')
    .option("--zone <name>", "time zone, where the place's own is not meant: America/Halifax")
    .requiredOption("--time <date and time>", "civil time of the night at that place: 2029-09-08T22:00")
    .addOption(
      new Option("--occurrence <which>", "where the clock showed that time twice").choices([
        "earlier",
        "later",
      ]),
    )
    .requiredOption("--strands <list>", "count x diameter in mm: 1350x0.75,240x1.0,60x1.5")
    .option("--title <text>", "what the job is called")
    .option("--firm <file>", "start with what the firm keeps from job to job (velarium firm)")
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      `
Example:
  velarium new hall.velarium.json --room "17ft 6in x 13ft 4in" --module 24x24in \\
    --place "Bridgewater, Nova Scotia" --time 2029-09-08T22:00 --strands 1350x0.75,240x1.0,60x1.5

The file holds every key with its default. Add sprinklers, lights and other no-go zones, tile uses and the
measured grid origin to its "ceiling", then run velarium check.`,
    )
    .action((file: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        const place = await findPlace(options);
        const input = newJob({
          ...options,
          title: options.title ?? basename(file).replace(/(\.velarium)?\.json$/, ""),
          place: { name: place.name, latDeg: place.latDeg, lonDeg: place.lonDeg },
          zone: options.zone ?? place.zone,
          firm: options.firm === undefined ? undefined : await firmFrom(options.firm),
        });
        const { job } = checkJob(JSON.stringify(input));
        const path = await writeNewFile(file, writeJob(job));
        shell.say(place.note);
        if (options.bearing === undefined)
          shell.say("Bearing: the plan's top edge is taken as true north until --bearing says otherwise.");
        shell.say(`Written: ${path}`);
        return { job: path, place };
      }),
    );
}

/** The place that --place or --at names. Throws JobFaults for neither, both, or none found. */
export async function findPlace({
  place,
  at,
  zone,
}: {
  place?: string;
  at?: string;
  zone?: string;
}): Promise<FoundPlace> {
  if ((place === undefined) === (at === undefined)) {
    throw new JobFaults([
      {
        path: "--place",
        expected: "either --place or --at",
        got: place === undefined ? "neither" : "both",
        next: 'Name a town, or give coordinates: --at "44.38, -64.32".',
      },
    ]);
  }
  const places = await loadPlaces();
  return place === undefined ? placeByCoordinates(places, at as string, zone) : placeByName(places, place);
}
