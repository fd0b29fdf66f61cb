import { ceilingHeightMm, heightAssumed } from "../job/assumed.ts";
import type { Command } from "commander";
import { JobFaults, type Warning } from "../job/faults.ts";
import type { LitPlan } from "../bundles/litPlan.ts";
import type { Job } from "../job/schema.ts";
import type { BoardNight } from "../sheets/board.ts";
import { catalogFor, choose } from "../work/stage.ts";
import { checkFolder, writeFolder, type OutputFile } from "./output.ts";
import { runCommand } from "./shell.ts";
import { NODE, openJob } from "./work.ts";

interface Options {
  out: string;
  nights?: string;
  seat?: string;
  dimmer?: string;
  tint: boolean;
  replace: boolean;
  json: boolean;
}

const FEWEST = 2;
const MOST = 4;
/** Pages are written as pictures for a screen; paper is printed from the PDF. */
const PNG_WIDTH_PX = 1920;

export function registerBoard(program: Command): void {
  program
    .command("board")
    .description("two to four nights from one seat, a page each with the facts that decide, to show a client")
    .argument("<job>", "the job file (*.velarium.json)")
    .requiredOption("--out <folder>", "where the boards go; the folder appears whole or not at all")
    .option("--nights <ids>", "the nights to show, as reopening,winter; default: the job's first four")
    .option(
      "--seat <seat>",
      'one seat for all: by name or number, or "x,y,eye" in mm on the plan; default: lying in the middle',
    )
    .option("--dimmer <light>", "light of the engines, 0 to 1, instead of the job's")
    .option("--no-tint", "every strand in the one colour of its engine")
    .option("--replace", "put them in the place of earlier boards in that folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      "\nExample:\n  velarium board hall.velarium.json --nights first,winter --out hall-board",
    )
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        await checkFolder(options.out, options.replace);
        const { work, job } = await openJob(path, shell, undefined, (read) =>
          options.tint ? read : { ...read, scene: { ...read.scene, tint: false } },
        );
        const ids = chosenIds(job, options.nights);
        const [{ boardPictures }, { seatBelow, seatsOf }] = await Promise.all([
          import("../sheets/boardNight.ts"),
          import("../scene/seats.ts"),
        ]);
        const { findSeat, jpegOf, pngOfSvg, readNumber } = await import("./pictures.ts");
        const dimmer =
          options.dimmer === undefined ? job.scene.dimmer : readNumber("--dimmer", options.dimmer, 0, 1);
        const settled: LitPlan[] = [];
        for (const id of ids) {
          const watch = {
            signal: shell.signal,
            progress: (words: string) => shell.progress(`${id}: ${words}`),
          };
          settled.push(await work.print(choose(job, id), "lit", undefined, watch));
        }
        const { ceiling } = settled[0]!.plan;
        const catalog = await catalogFor(NODE, ...ids.map((id) => choose(job, id)));
        const seat =
          options.seat === undefined
            ? seatBelow(ceiling)
            : findSeat(seatsOf(job, ceiling), options.seat, ceiling, ceilingHeightMm(job.ceiling));
        shell.progress("Drawing the nights");
        const pictures = boardPictures(settled, catalog, { seat, dimmer });
        const aspect = pictures[0]!.widthPx / pictures[0]!.heightPx;
        const nights: BoardNight[] = await Promise.all(
          pictures.map(async ({ facts, marks, frame, widthPx, heightPx }) => ({
            facts,
            marks,
            picture: await jpegOf(frame, widthPx, heightPx),
          })),
        );
        const [{ makeBoard }, { loadBoardFonts }] = await Promise.all([
          import("../sheets/shown.ts"),
          import("./fonts.ts"),
        ]);
        const fonts = await loadBoardFonts(JSON.stringify(job));
        const words = {
          title: job.title,
          who: [job.client, job.room].filter(Boolean).join(" · "),
          view: [`Seen from: ${seat.name}`, `dimmer at ${Math.round(100 * dimmer)} %`, heightAssumed(job)]
            .filter(Boolean)
            .join(" · "),
          revision: job.revision,
          units: job.units,
        };
        const missing = new Map<string, Warning>();
        shell.progress("Laying out the boards");
        const boards = await Promise.all(
          (["A3", "16:9"] as const).map(async (format): Promise<OutputFile[]> => {
            const name = format === "A3" ? "board-a3" : "board-16x9";
            const { pdf, svgs } = await makeBoard({
              nights,
              words,
              format,
              fonts,
              pictureAspect: aspect,
              onWarning: (warning) => missing.set(warning.message, warning),
            });
            const pictures = format === "A3" ? [] : svgs;
            return [
              { path: `${name}.pdf`, bytes: pdf },
              ...(await Promise.all(
                pictures.map(async (svg, i) => ({
                  path: `${name}-${i + 1}.png`,
                  bytes: await pngOfSvg(svg, PNG_WIDTH_PX),
                })),
              )),
            ];
          }),
        );
        const files = boards.flat();
        const facts = nights.map((night) => night.facts);
        files.push({ path: "nights.json", bytes: JSON.stringify(facts, null, 2) + "\n" });
        const folder = await writeFolder(options.out, files, {
          replace: options.replace,
          signal: shell.catchInterrupts(),
        });
        shell.warn([...missing.values()]);
        shell.say(`Written: ${folder} (${files.map((f) => f.path).join(", ")})`);
        return { out: folder, files: files.map((f) => f.path), nights: facts };
      }),
    );
}

/** Ids of the nights to show, checked. */
function chosenIds(job: Job, text: string | undefined): string[] {
  const known = job.sky.options.map((option) => option.id);
  const fault = (expected: string, got: string): never => {
    throw new JobFaults([{ path: "--nights", expected, got, next: `This job has ${known.join(", ")}.` }]);
  };
  const ids =
    text === undefined
      ? known.slice(0, MOST)
      : text
          .split(",")
          .map((id) => id.trim())
          .filter(Boolean);
  const unknown = ids.filter((id) => !known.includes(id));
  if (unknown.length > 0) fault("nights of this job", unknown.join(", "));
  if (new Set(ids).size !== ids.length) fault("each night once", ids.join(", "));
  if (ids.length < FEWEST || ids.length > MOST) fault(`${FEWEST} to ${MOST} nights`, `${ids.length}`);
  return ids;
}
