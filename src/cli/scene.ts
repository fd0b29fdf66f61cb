import type { Command } from "commander";
import { CannotDo, JobFaults } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import type { Scene } from "../scene/types.ts";
import { withLengths } from "./lengths.ts";
import { loadPlan } from "./loadJob.ts";
import { writeNewFile } from "./output.ts";
import { runCommand } from "./shell.ts";

interface Options {
  out: string;
  seat?: string;
  night?: string;
  size: string;
  dimmer?: string;
  time: string;
  figures: boolean;
  realSky: boolean;
  lightsOn: boolean;
  tint: boolean;
  json: boolean;
}

export function registerScene(program: Command): void {
  program
    .command("scene")
    .description("a picture of the finished ceiling in the dark, as seen from a seat")
    .argument("<job>", "the job file (*.velarium.json)")
    .requiredOption("--out <file>", "the picture, *.png; an existing file is never overwritten")
    .option("--seat <seat>", 'a seat of the job by name or number, or "x,y,eye" in mm on the plan')
    .option("--night <id>", "another of the job's skies than the chosen one")
    .option("--size <pixels>", "width x height", "1920x1200")
    .option("--dimmer <light>", "light of the engines, 0 to 1, instead of the job's")
    .option("--time <seconds>", "moment of the twinkle", "0")
    .option("--figures", "draw figures and names over it", false)
    .option("--no-tint", "every strand in the one colour of its engine")
    .option("--real-sky", "the same patch of the real sky instead, for comparison", false)
    .option("--lights-on", "how the ceiling looks by day", false)
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      "\nExample:\n  velarium scene hall.velarium.json --seat middle --dimmer 0.4 --out hall-middle.png",
    )
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        const { readSize, readNumber, findSeat, pngOf } = await import("./pictures.ts");
        const size = readSize(options.size);
        const timeS = readNumber("--time", options.time, 0, 1e6);
        if (!/\.png$/i.test(options.out))
          throw new JobFaults([
            { path: "--out", expected: "a file ending in .png", got: options.out, next: "Name it so." },
          ]);
        if (options.realSky && options.lightsOn)
          throw new CannotDo("--real-sky and --lights-on don't go together.", "Leave one of them out.");
        const { plan: bare, catalog } = await loadPlan(path, shell, options.night);
        const [{ prepareScene, prepareLightsOn }, { seatsOf }, { renderScene }] = await Promise.all([
          import("../scene/scene.ts"),
          import("../scene/seats.ts"),
          import("../scene/render.ts"),
        ]);
        const dimmer =
          options.dimmer === undefined ? bare.job.scene.dimmer : readNumber("--dimmer", options.dimmer, 0, 1);
        const seats = seatsOf(bare.job, bare.ceiling);
        const seat = findSeat(seats, options.seat, bare.ceiling, bare.job.ceiling.heightMm);
        const { plan, lengthsM } = options.lightsOn
          ? { plan: bare }
          : await withLengths(bare, catalog, shell);
        const job: Job = options.tint ? plan.job : { ...plan.job, scene: { ...plan.job.scene, tint: false } };
        const source = { ...plan, job };
        shell.progress("Drawing");
        const view = { seat, ...size, ...(lengthsM === undefined ? {} : { lengthsM }) };
        let scene: Scene;
        if (options.lightsOn) scene = prepareLightsOn(source, { ...view, samples: 3 });
        else if (options.realSky)
          scene = (await import("../scene/realSky.ts")).prepareRealSky(source, catalog, view);
        else scene = prepareScene(source, view);
        const frame = renderScene(scene, { timeS, dimmer: options.lightsOn ? 1 : dimmer });
        let over: string | undefined;
        if (options.figures) {
          const { makeOverlay, overlaySvg } = await import("../scene/overlay.ts");
          over = overlaySvg(makeOverlay(plan.pattern.holes, catalog), source, scene.camera);
        }
        const file = await writeNewFile(options.out, await pngOf(frame, size.widthPx, size.heightPx, over));
        shell.warn(plan.warnings);
        shell.say(`Written: ${file} (seat ${seat.name}, dimmer ${dimmer})`);
        return { out: file, seat, dimmer, timeS, ...size, holes: plan.pattern.holes.length };
      }),
    );
}
