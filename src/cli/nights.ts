import { ceilingHeightMm } from "../job/assumed.ts";
import { dateAndClock } from "../job/writtenTime.ts";
import type { Command } from "commander";
import type { Proposal, SearchResult } from "../choose/search.ts";
import type { Wish } from "../choose/wish.ts";

import type { PointMm } from "../geometry/types.ts";
import { JobFaults } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import type { Place } from "../job/sections/sky.ts";
import type { BodyName, Catalog } from "../sky/types.ts";
import { loadCatalog, loadPlaces } from "./catalogFiles.ts";
import { placeByCoordinates, placeByName } from "./findPlace.ts";
import { loadJob } from "./loadJob.ts";
import { checkFolder, writeFolder, writeNewFile } from "./output.ts";
import { runCommand, type Shell } from "./shell.ts";

interface Options {
  date?: string;
  from?: string;
  to?: string;
  place?: string;
  at?: string;
  zone?: string;
  with?: string;
  upright?: string | true;
  seat?: string;
  milkyWay: boolean;
  along?: string;
  anyDark: boolean;
  straightUp: boolean;
  out?: string;
  pictures?: string;
  json: boolean;
}

const BODIES: readonly BodyName[] = ["moon", "mercury", "venus", "mars", "jupiter", "saturn"];

export function registerNights(program: Command): void {
  program
    .command("nights")
    .description("search a night for hours, views and turns that suit a wish and this ceiling")
    .argument("<job>", "the job file (*.velarium.json)")
    .option("--date <date>", "the evening, as 2029-09-08; searched from noon to noon")
    .option("--from <time>", "first moment, as 2029-09-08T20:00, instead of --date")
    .option("--to <time>", "last moment")
    .option("--place <town>", "where, when not the place of the job's chosen night")
    .option("--at <coordinates>", '"latitude, longitude" instead of a town')
    .option("--zone <name>", "IANA time zone of the hours, when not that of the place")
    .option("--with <names>", 'what must be on the ceiling, as "Orion over the bar wall, Jupiter"')
    .option("--upright [degrees]", "constellations turned by at most so many degrees, 15 unless said")
    .option("--seat <seat>", "a seat of the job, from which walls and what is upright are judged")
    .option("--milky-way", "the Milky Way on the ceiling", false)
    .option("--along <wall>", "the Milky Way along this wall, by its name or number")
    .option("--any-dark", "twilight will do", false)
    .option("--straight-up", "try the zenith view alone", false)
    .option("--out <file>", "a new job file with the proposals among its nights")
    .option("--pictures <folder>", "a small picture of each proposal's ceiling in the dark")
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      '\nExample:\n  velarium nights hall.velarium.json --date 2030-01-05 --with "Orion over the bar wall, Saturn" --upright --milky-way',
    )
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        const { job } = await loadJob(path, shell);
        const catalog = await loadCatalog();
        const wish = await readWish(options, job, catalog, shell);
        if (options.pictures !== undefined) await checkFolder(options.pictures, false);
        const [{ searchNights }, { planJob }] = await Promise.all([
          import("../choose/search.ts"),
          import("../work/planJob.ts"),
        ]);
        const result = await searchNights(job, catalog, wish, planJob, {
          signal: shell.signal,
          pictures: options.pictures !== undefined,
          onProgress: (share, words) => shell.progress(`${words}: ${Math.round(100 * share)} %`),
          breathe: () => new Promise((resume) => setImmediate(resume)),
        });
        tell(result, shell);
        let out: string | undefined;
        if (options.out !== undefined) {
          const { writeJob } = await import("../job/write.ts");
          out = await writeNewFile(options.out, writeJob(withProposals(job, result.proposals)));
          shell.say(`Written: ${out}`);
        }
        if (options.pictures !== undefined) {
          const { pngOf } = await import("./pictures.ts");
          const files = await Promise.all(
            result.proposals.map(async ({ picture }, i) => ({
              path: `${i + 1}.png`,
              bytes: await pngOf(picture!.rgba, picture!.widthPx, picture!.heightPx),
            })),
          );
          const folder = await writeFolder(options.pictures, files, {
            replace: false,
            signal: shell.catchInterrupts(),
          });
          shell.say(`Written: ${folder} (${files.map(({ path }) => path).join(", ")})`);
        }
        return {
          wish,
          ...result,
          proposals: result.proposals.map(brief),
          ...(out === undefined ? {} : { out }),
        };
      }),
    );
}

function fault(path: string, expected: string, got: string, next: string): JobFaults {
  return new JobFaults([{ path, expected, got, next }]);
}

async function readWish(options: Options, job: Job, catalog: Catalog, shell: Shell): Promise<Wish> {
  const { place, zone } = await placeOf(options, job, shell);
  const { constellations, bodies, overWalls } = readNames(options.with ?? "", catalog, job);
  return {
    place,
    zone,
    ...readWindow(options),
    constellations,
    bodies,
    overWalls,
    dark: !options.anyDark,
    milkyWay: options.milkyWay,
    ...(options.upright === undefined ? {} : { mostTurnedDeg: await readTurn(options.upright) }),
    ...(options.seat === undefined ? {} : { seatMm: await seatOf(options.seat, job) }),
    ...(options.along === undefined ? {} : { milkyWayAlongWall: wallOf(options.along, job, "--along") }),
    ...(options.straightUp ? { views: [{ azimuthDeg: 0, altitudeDeg: 90 }] } : {}),
  };
}

async function placeOf(options: Options, job: Job, shell: Shell): Promise<{ place: Place; zone: string }> {
  if (options.place !== undefined && options.at !== undefined)
    throw fault("--place", "either --place or --at", "both", "Leave one of them out.");
  if (options.place === undefined && options.at === undefined) {
    const night = job.sky.options.find((o) => o.id === job.sky.chosen)!;
    const zone = options.zone ?? ("zone" in night.moment ? String(night.moment.zone) : "UTC");
    return { place: night.place, zone };
  }
  const places = await loadPlaces();
  const found =
    options.place === undefined
      ? placeByCoordinates(places, options.at ?? "", options.zone)
      : placeByName(places, options.place);
  shell.say(found.note);
  const { name, latDeg, lonDeg } = found;
  return { place: { name, latDeg, lonDeg, elevationM: 0 }, zone: options.zone ?? found.zone };
}

function readWindow({ date, from, to }: Options): { fromLocal: string; toLocal: string } {
  if (date !== undefined && from === undefined && to === undefined) {
    if (!/^\d{4}-\d{2}-\d{2}$/.test(date) || Number.isNaN(Date.parse(`${date}T00:00Z`)))
      throw fault("--date", "a date as 2029-09-08", date, "Write year, month and day.");
    const next = new Date(Date.parse(`${date}T00:00Z`) + 86_400_000).toISOString().slice(0, 10);
    return { fromLocal: `${date}T12:00`, toLocal: `${next}T11:45` };
  }
  if (date === undefined && from !== undefined && to !== undefined) return { fromLocal: from, toLocal: to };
  throw fault(
    "--date",
    "either --date, or --from and --to",
    [date && "--date", from && "--from", to && "--to"].filter(Boolean).join(" and ") || "neither",
    "Give the evening's date, or the first and last moment.",
  );
}

const USUAL_TURN_DEG = 15;

async function readTurn(upright: string | true): Promise<number> {
  if (upright === true) return USUAL_TURN_DEG;
  const { readNumber } = await import("./pictures.ts");
  return readNumber("--upright", upright, 1, 180);
}

async function seatOf(text: string, job: Job): Promise<PointMm> {
  const [{ findSeat }, { seatsOf }, { makeCeiling }] = await Promise.all([
    import("./pictures.ts"),
    import("../scene/seats.ts"),
    import("../ceiling/ceiling.ts"),
  ]);
  const ceiling = makeCeiling(job.ceiling);
  return findSeat(seatsOf(job, ceiling), text, ceiling, ceilingHeightMm(job.ceiling)).atMm;
}

type Names = Required<Pick<Wish, "constellations" | "bodies" | "overWalls">>;

/** Boötes is found by "bootes" too. */
const folded = (name: string): string => name.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase().trim();

/** "Orion over the bar wall, Saturn". */
function readNames(text: string, catalog: Catalog, job: Job): Names {
  const found: Names = { constellations: [], bodies: [], overWalls: {} };
  const parts = text.split(",").map((part) => part.trim());
  for (let part = parts.shift(); part !== undefined; part = parts.shift()) {
    if (part === "") continue;
    const [name = "", said] = part.split(/\s+over\s+/i);
    // a wall's own name may hold a comma
    const longer = `${said}, ${parts[0]}`;
    const wall = said !== undefined && wallIndex(longer, job) >= 0 ? longer : said;
    if (wall !== said) parts.shift();
    const plain = folded(name).replace(/^the /, "");
    const body = BODIES.find((b) => b === plain);
    const figure = catalog.figures.find(
      (f) => f.abbreviation.toLowerCase() === plain || folded(f.name) === plain,
    );
    if (body && wall === undefined) found.bodies.push(body);
    else if (figure) {
      found.constellations.push(figure.abbreviation);
      if (wall !== undefined) found.overWalls[figure.abbreviation] = wallOf(wall, job, "--with");
    } else
      throw fault(
        "--with",
        `constellations (Orion, Ori, "Orion over the bar wall") and ${BODIES.join(", ")}, with commas between`,
        part,
        "Check the spelling; the Milky Way is wished for with --milky-way or --along.",
      );
  }
  return found;
}

/** A wall by its name or its number from 1; -1 for none. */
function wallIndex(text: string, job: Job): number {
  const plain = (name: string): string => name.trim().toLowerCase().replace(/^the /, "");
  const index = wallNames(job).findIndex((name) => plain(name) === plain(text));
  const number = Number(text);
  const numbered = Number.isInteger(number) && number >= 1 && number <= job.ceiling.outlineMm.length;
  return index < 0 && numbered ? number - 1 : index;
}

const wallNames = (job: Job): string[] =>
  job.ceiling.outlineMm.map((_, i) => job.ceiling.walls[i] || `wall ${i + 1}`);

function wallOf(text: string, job: Job, option: string): number {
  const index = wallIndex(text, job);
  if (index >= 0) return index;
  const walls = wallNames(job).join("; ");
  throw fault(option, `a wall: ${walls}`, text, "Name a wall, or give its number from 1.");
}

function tell({ proposals, verdict, nearest, examined }: SearchResult, shell: Shell): void {
  shell.say(verdict);
  for (const sentence of nearest) shell.say(`  ${sentence}`);
  proposals.forEach((proposal, i) => {
    const { night, score } = proposal;
    const { azimuthDeg, altitudeDeg, turnDeg } = night.view;
    shell.say("");
    shell.say(`${i + 1}. ${night.title}  (${score} of 100)`);
    shell.say(
      `   ${dateAndClock(proposal.facts.localIso, proposal.facts.zone, proposal.facts.pass)}; view ${azimuthDeg}°/${altitudeDeg}°, turn ${turnDeg}°`,
    );
    for (const reason of proposal.reasons) shell.say(`   ${reason}`);
    if (proposal.unmet.length > 0) shell.say(`   Missing: ${proposal.unmet.join("; ")}.`);
  });
  shell.say("");
  shell.say(
    `${examined.skies} views compared: ${examined.dark} dark times, ${examined.views} views, ${examined.turns} turns.`,
  );
}

const brief = ({ night, score, met, unmet, reasons, facts }: Proposal): object => ({
  night,
  score,
  met,
  unmet,
  reasons,
  facts,
});

/** The job with the proposals after its own skies, under ids that are still free. */
function withProposals(job: Job, proposals: readonly Proposal[]): Job {
  const taken = new Set(job.sky.options.map((option) => option.id));
  const options = [...job.sky.options];
  let number = 0;
  for (const { night } of proposals) {
    do number++;
    while (taken.has(`found-${number}`));
    options.push({ ...night, id: `found-${number}` });
  }
  return { ...job, sky: { ...job.sky, options: options.slice(0, 24) } };
}
