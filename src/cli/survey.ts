import { open } from "node:fs/promises";
import { basename } from "node:path";
import { Option } from "commander";
import type { Command } from "commander";
import { checkJob } from "../check.ts";
import { CannotDo, JobFaults, type Fault } from "../job/faults.ts";
import { STAND_IN } from "../job/standIn.ts";
import { formatLength, type LengthUnits } from "../job/units.ts";
import { writeJob } from "../job/write.ts";
import { MAX_DRAWING_BYTES } from "../survey/groups.ts";
import { jobCeiling } from "../survey/jobCeiling.ts";
import { keyOf } from "../survey/roles.ts";
import type { Survey } from "../survey/survey.ts";
import { ROLES, UNITS, type Role, type Taken, type Unit } from "../survey/types.ts";
import { firmFrom } from "./firm.ts";
import { findPlace } from "./new.ts";
import { jobOf, readStrands } from "./newJob.ts";
import { writeNewFile } from "./output.ts";
import { runCommand, type Shell } from "./shell.ts";

interface Options {
  out: string;
  units?: Unit;
  room?: string;
  take: string[];
  title?: string;
  place?: string;
  at?: string;
  zone?: string;
  time?: string;
  strands?: string;
  firm?: string;
  json: boolean;
}

export function registerSurvey(program: Command): void {
  program
    .command("survey")
    .description("start a job file from a drawing: the ceiling of one room of a reflected ceiling plan (DXF)")
    .argument("<drawing>", "the plan as a DXF in text form")
    .requiredOption(
      "--out <file>",
      "the job file to make (*.velarium.json); an existing one is never overwritten",
    )
    .addOption(
      new Option(
        "--units <unit>",
        "what one unit of the drawing is, where the file says it wrongly, or not at all",
      ).choices(UNITS),
    )
    .option("--room <number>", "which room, where the drawing holds several")
    .option(
      "--take <layer=use>",
      `what a layer or "block NAME" is, where its name misleads: ${ROLES.join(", ")}; may be repeated`,
      (value: string, before: string[]) => [...before, value],
      [],
    )
    .option("--title <text>", "what the job is called")
    .option("--place <name>", "town of the gazetteer; with --time, the night of the job")
    .option("--at <lat, lon>", "or coordinates in degrees, north and east positive")
    .option("--zone <name>", "time zone, instead of the place's own")
    .option("--time <date and time>", "civil time of the night at that place: 2029-09-08T22:00")
    .option("--strands <list>", "count x diameter in mm: 1280x0.75,210x1.0,45x1.5")
    .option("--firm <file>", "start with what the firm keeps from job to job (velarium firm)")
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      `
Example:
  velarium survey ground-floor.dxf --units mm --room 2 --take "E-SPCL=speaker" --out lounge.velarium.json

Shows what every layer was read as, the room, the grid with its misfit in mm, and everything that was not
understood. Nothing is guessed in silence: where the unit or the room is in doubt, it asks and writes nothing.
Measure three tiles and one opening all the same: a drawing is not the ceiling.`,
    )
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        const [{ readDrawing }, { surveyDrawing }] = await Promise.all([
          import("../survey/drawing.ts"),
          import("../survey/survey.ts"),
        ]);
        const roles = readTakes(options.take);
        shell.progress(`Reading ${basename(path)}`);
        const drawing = readDrawing(await readText(path), path);
        const survey = surveyDrawing(drawing, { unit: options.units, room: readRoom(options.room), roles });
        refuseUnknownNames(survey.taken, roles);
        if (survey.ask) throw asked(survey);
        const { job, stillToSay } = await jobFrom(survey, path, options);
        const written = await writeNewFile(options.out, writeJob(checkJob(JSON.stringify(job)).job));
        tell(shell, survey, stillToSay);
        shell.say(`Written: ${written}`);
        const { taken, left, room, rooms, fit, ceiling, unit, stated } = survey;
        return {
          job: written,
          unit,
          stated,
          room: room?.number,
          rooms: rooms.map(roomFacts),
          fit,
          ceiling,
          taken,
          left,
          stillToSay,
        };
      }),
    );
}

async function readText(path: string): Promise<string> {
  const refuse = (got: string): JobFaults =>
    new JobFaults([
      { path, expected: "a drawing that can be read", got, next: "Check the name of the DXF file." },
    ]);
  let file;
  try {
    file = await open(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw code === "ENOENT" || code === "ENOTDIR"
      ? refuse("no such file")
      : code === "EACCES"
        ? refuse("no permission to read it")
        : error;
  }
  try {
    const facts = await file.stat();
    if (!facts.isFile()) throw refuse(facts.isDirectory() ? "a folder" : "something that is no file");
    if (facts.size > MAX_DRAWING_BYTES)
      throw refuse(`${Math.round(facts.size / 1e6)} MB; at most 100 MB are read`);
    const bytes = await file.readFile();
    // before R2007 the format used the code page of the machine; only names and texts differ
    return new TextDecoder("utf-8").decode(bytes);
  } finally {
    await file.close();
  }
}

/** `A-27-M=outline`, `block SPK=sprinkler`. */
function readTakes(takes: readonly string[]): Map<string, Role> {
  const faults: Fault[] = [];
  const roles = new Map<string, Role>();
  for (const take of takes) {
    const at = take.lastIndexOf("=");
    const role = take.slice(at + 1).trim();
    const name = take.slice(0, Math.max(0, at)).trim();
    if (name === "" || !(ROLES as readonly string[]).includes(role))
      faults.push({
        path: "--take",
        expected: `a layer and one of ${ROLES.join(", ")}`,
        got: JSON.stringify(take.slice(0, 60)),
        next: 'Write it as "A-CLNG-GRID=grid".',
      });
    else
      roles.set(name.startsWith("block ") ? name : keyOf("layer", name.replace(/^layer /, "")), role as Role);
  }
  if (faults.length > 0) throw new JobFaults(faults);
  return roles;
}

function refuseUnknownNames(taken: readonly Taken[], roles: ReadonlyMap<string, Role>): void {
  const known = new Set(taken.map(({ what, name }) => keyOf(what, name)));
  const missing = [...roles.keys()].filter((key) => !known.has(key));
  if (missing.length === 0) return;
  throw new JobFaults(
    missing.map((key) => ({
      path: "--take",
      expected: `a layer or block of the drawing: ${taken
        .map(({ name }) => name)
        .join(", ")
        .slice(0, 400)}`,
      got: key,
      next: "Take the name as the drawing writes it.",
    })),
  );
}

function readRoom(text?: string): number | undefined {
  if (text === undefined) return undefined;
  if (/^[1-9]\d{0,3}$/.test(text)) return Number(text);
  throw new JobFaults([
    {
      path: "--room",
      expected: "a room's number",
      got: JSON.stringify(text.slice(0, 40)),
      next: "Write it as --room 2.",
    },
  ]);
}

const sizeText = ([w, d]: readonly [number, number], units: LengthUnits = "m"): string =>
  units === "m"
    ? `${(w / 1000).toFixed(2)} × ${(d / 1000).toFixed(2)} m`
    : `${formatLength(w, units)} × ${formatLength(d, units)}`;

/** What only a person can say, as a fault with the choices. */
function asked(survey: Survey): JobFaults | CannotDo {
  const { ask, rooms, sizes, stated } = survey;
  if (ask === "outline")
    return new CannotDo(
      "No closed outline of a room and no grid was found in the drawing.",
      `Say which layer holds them: --take "LAYER=outline". Layers: ${survey.taken
        .filter(({ what, pieces }) => what === "layer" && pieces > 0)
        .map(({ name }) => name)
        .join(", ")
        .slice(0, 400)}.`,
    );
  const choices =
    ask === "room"
      ? rooms.map(
          (room) =>
            `${room.number}: ${room.name || "no name"}, ${room.size.map((s) => s.toFixed(2)).join(" × ")} drawing units`,
        )
      : sizes.map(({ unit, sizeMm, likely }) => `${unit}: ${sizeText(sizeMm)}${likely ? "" : " (unlikely)"}`);
  const likely = sizes.filter((size) => size.likely).map(({ unit }) => unit);
  return new JobFaults([
    {
      path: ask === "room" ? "--room" : "--units",
      expected:
        ask === "room" ? `one of ${rooms.length} rooms` : "the unit of the drawing; the room would measure",
      got:
        ask === "room" ? choices.join("; ") : `${choices.join("; ")}. The file says ${stated ?? "nothing"}`,
      next:
        ask === "room"
          ? "Say which: --room 1."
          : `Compare with the room and say it: --units ${likely[0] ?? "mm"}.`,
    },
  ]);
}

const roomFacts = ({ number, name, size }: Survey["rooms"][number]): object => ({
  number,
  name,
  sizeInDrawing: size,
});

async function jobFrom(
  survey: Survey,
  path: string,
  options: Options,
): Promise<{ job: object; stillToSay: string[] }> {
  const { grid, bearingDeg } = survey.ceiling!;
  const stillToSay: string[] = [];
  const drawn: LengthUnits = survey.unit === "in" || survey.unit === "ft" ? "ft-in" : survey.unit!;
  const firm = options.firm === undefined ? undefined : await firmFrom(options.firm);
  const place = options.place || options.at ? await findPlace(options) : null;
  if (!place || !options.time)
    stillToSay.push("the night: --place and --time, or in the studio; a stand-in night is in the job");
  if (!options.strands && !firm?.strands)
    stillToSay.push("the strands: --strands, or in the studio; a stand-in stock is in the job");
  if (!grid) stillToSay.push("the grid: no tees were found; 600 mm is a stand-in, measure the module");
  if (bearingDeg === null) stillToSay.push("the bearing of the plan's top: no north arrow was found");
  stillToSay.push("the height, the void, what agreed with whom: a drawing does not tell");
  const job = jobOf({
    title: options.title ?? (survey.room?.name || basename(path).replace(/\.dxf$/i, "")),
    units: firm?.units ?? drawn,
    ceiling: jobCeiling(survey.ceiling!),
    place: place ?? STAND_IN.place,
    moment:
      place && options.time
        ? { local: options.time.trim().replace(" ", "T"), zone: options.zone ?? place.zone }
        : STAND_IN.moment,
    stock: options.strands ? readStrands(options.strands) : (firm?.strands?.stock ?? STAND_IN.stock),
    firm,
  });
  return { job, stillToSay };
}

function tell(shell: Shell, survey: Survey, stillToSay: readonly string[]): void {
  const { taken, left, fit, ceiling, room, unit, stated, sizes } = survey;
  shell.say("Read as:");
  for (const { what, name, pieces, hidden, role, why } of taken.filter(
    ({ what, role, pieces }) => pieces > 0 && (what === "layer" || role !== "unknown"),
  ))
    shell.say(
      `  ${what.padEnd(5)} ${name.padEnd(24)} ${String(pieces).padStart(6)}  ${hidden ? "frozen or off" : role}${why ? ` (${why})` : ""}`,
    );
  const size = sizes.find((each) => each.unit === unit)!.sizeMm;
  const units: LengthUnits = unit === "in" || unit === "ft" ? "ft-in" : "m";
  shell.say(
    `Room ${room!.number}${room!.name ? ` "${room!.name}"` : ""}: ${sizeText(size, units)}; unit ${unit} (${unit === stated ? "as the file says" : "as you said"}).`,
  );
  if (fit && ceiling?.grid) {
    const { moduleMm, originMm, teeFaceMm } = ceiling.grid;
    shell.say(
      `Grid: module ${moduleMm.join(" × ")} mm, a tee crossing at ${originMm.join(", ")} mm, turned ${fit.turnDeg.toFixed(2)}° in the drawing` +
        `${teeFaceMm ? `, tee face ${teeFaceMm} mm` : ""}; ${fit.lines} lines, misfit ${fit.misfitMm.rms.toFixed(1)} mm rms, ${fit.misfitMm.largest.toFixed(1)} mm at most.`,
    );
  }
  const counts = new Map<string, number>();
  for (const { kind } of ceiling!.noGo) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  shell.say(
    `No-go zones: ${[...counts].map(([kind, count]) => `${count} ${kind}`).join(", ") || "none found"}.`,
  );
  for (const { what, count } of left) shell.say(`Not used: ${count} × ${what}`);
  for (const each of stillToSay) shell.say(`Still to say: ${each}`);
}
