import { basename } from "node:path";
import { Option } from "commander";
import type { Command } from "commander";
import { MODULE_PRESETS } from "../ceiling/presets.ts";
import { checkJob } from "../check.ts";
import { JobFaults, type Fault } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import { formatLength, type LengthUnits } from "../job/units.ts";
import { writeJob } from "../job/write.ts";
import { firmFrom } from "./firm.ts";
import { loadPlaces } from "./catalogFiles.ts";
import { placeByCoordinates, placeByName } from "./findPlace.ts";
import type { FoundPlace } from "./findPlace.ts";
import { newJob, unitsOf } from "./newJob.ts";
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
    .option("--room <width x depth>", 'along and across the plan: "17ft 6in x 13ft 4in", 5.3x4.1m')
    .option(
      "--module <size>",
      `centre to centre of tees, measured: ${MODULE_PRESETS.map((p) => p.id).join(", ")}, or a size`,
    )
    .option("--tee <face>", "wide (15/16 in, 24 mm), narrow (9/16 in, 15 mm), or a width, as measured")
    .option("--height <length>", "floor to ceiling, as measured")
    .option(
      "--bearing <degrees>",
      "true compass bearing of the plan's top edge, as seen from the room's middle",
    )
    .option("--place <name>", 'town of the gazetteer, as "Bridgewater, Nova Scotia"')
    .option("--at <lat, lon>", 'or coordinates in degrees, north and east positive: "44.38, -64.32"')
    .option("--zone <name>", "time zone, instead of the place's own: America/Halifax")
    .option("--time <date and time>", "civil time of the night at that place: 2029-09-08T22:00")
    .addOption(
      new Option("--occurrence <which>", "where the clock showed that time twice").choices([
        "earlier",
        "later",
      ]),
    )
    .option("--strands <list>", "count x diameter in mm: 1280x0.75,210x1.0,45x1.5")
    .option("--title <text>", "what the job is called")
    .option("--firm <file>", "start with what the firm keeps from job to job (velarium firm)")
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      `
Example:
  velarium new hall.velarium.json --room "17ft 6in x 13ft 4in" --module 24x24in \\
    --place "Bridgewater, Nova Scotia" --time 2029-09-08T22:00 --strands 1280x0.75,210x1.0,45x1.5

The file holds every key with its default. Add sprinklers, lights and other no-go zones, tile uses and the
measured grid origin to its "ceiling", then run velarium check.`,
    )
    .action((file: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        const { job, place } = await started(file, options);
        const path = await writeNewFile(file, writeJob(job));
        shell.say(place.note);
        if (options.bearing === undefined)
          shell.say("Bearing: the plan's top edge is taken as true north until --bearing says otherwise.");
        shell.say(`Written: ${path}`);
        return { job: path, place };
      }),
    );
}

/** The job that the answers make. Throws JobFaults with everything wrong in any of them, in the words and units typed. */
async function started(file: string, options: Options): Promise<{ job: Job; place: FoundPlace }> {
  const faults: Fault[] = [];
  const attempt = async <T>(make: () => T | Promise<T>): Promise<T | undefined> => {
    try {
      return await make();
    } catch (error) {
      if (!(error instanceof JobFaults)) throw error;
      faults.push(...error.faults);
      return undefined;
    }
  };
  const place = await attempt(() => findPlace(options));
  const { firm: firmFile } = options;
  const firm = firmFile === undefined ? undefined : await attempt(() => firmFrom(firmFile));
  let answers: Answers = {
    ...options,
    title: options.title ?? basename(file).replace(/(\.velarium)?\.json$/, ""),
    // without a place the other answers are looked through all the same
    place: { name: place?.name ?? "", latDeg: place?.latDeg ?? 0, lonDeg: place?.lonDeg ?? 0 },
    zone: options.zone ?? place?.zone ?? "UTC",
    firm,
  };
  const units = unitsOf(options.room);
  const wrong = new Set<string>();
  const told = new Map<string, Fault>();
  const tell = (said: Fault): void => void told.set(JSON.stringify(said), said);
  faults.forEach(tell);
  // an answer that is wrong by itself hides what is wrong of several together: it is left out, and the others looked through again
  for (let before = -1; before < wrong.size;) {
    before = wrong.size;
    faults.length = 0;
    const { input, faults: unread } = newJob(answers);
    const read = await attempt(() => checkJob(JSON.stringify(input)));
    if (read && unread.length === 0 && told.size === 0) return { job: read.job, place: place! };
    const found = [...unread, ...faults.map((fault) => asTyped(fault, units))];
    // what stands in for an answer that can't be read is nobody's fault
    const stoodIn = new Set(unread.map(({ path }) => path));
    for (const fault of found)
      if (!wrong.has(fault.path) && (unread.includes(fault) || !stoodIn.has(fault.path))) tell(fault);
    for (const { path } of found) wrong.add(path);
    answers = { ...answers, ...Object.fromEntries([...wrong].map((path) => [path.slice(2), undefined])) };
    if (read) break;
  }
  throw new JobFaults([...told.values()]);
}

/** Which answer of the command stands behind a place in the job. */
const ASKED_BY: [RegExp, string][] = [
  [/^(sky\.options\[0\]\.moment|--time)/, "--time"],
  [/^sky\.options\[0\]\.place/, "--at"],
  [/^ceiling\.outlineMm/, "--room"],
  [/^ceiling\.grid\.teeFaceMm/, "--tee"],
  [/^ceiling\.grid/, "--module"],
  [/^ceiling\.heightMm/, "--height"],
  [/^ceiling\.bearingDeg/, "--bearing"],
  [/^strands/, "--strands"],
  [/^title/, "--title"],
];

function asTyped(fault: Fault, units: LengthUnits): Fault {
  const path = ASKED_BY.find(([place]) => place.test(fault.path))?.[1] ?? fault.path;
  if (!["--room", "--module", "--tee", "--height"].includes(path)) return { ...fault, path };
  // the sides of a room stand in the job as coordinates, which may be below 0
  if (path === "--room")
    fault = { ...fault, expected: fault.expected.replace(/ from -.* to /, " of at most ") };
  if (units === "mm") return { ...fault, path };
  // a plain number in a place of the job that holds a length is one in millimetres
  const lengths = fault.expected.startsWith("a number") ? /(-?\d+(?:\.\d+)?)/g : /(-?\d+(?:\.\d+)?) mm\b/g;
  const inUnits = (words: string): string =>
    words.replace(lengths, (_, mm) => formatLength(Number(mm), units)).replace(/^a number/, "a length");
  return { ...fault, path, expected: inUnits(fault.expected), got: inUnits(fault.got) };
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
