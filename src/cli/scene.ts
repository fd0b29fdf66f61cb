import { ceilingHeightMm, heightAssumed } from "../job/assumed.ts";
import type { Command } from "commander";
import { CannotDo, JobFaults } from "../job/faults.ts";
import { said } from "../work/stage.ts";
import { writeNewFile } from "./output.ts";
import { runCommand } from "./shell.ts";
import { openJob } from "./work.ts";

interface Options {
  out: string;
  seat?: string;
  night?: string;
  size: string;
  dimmer?: string;
  time: string;
  constellations: boolean;
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
    .option("--night <id>", "another of the job's nights than the chosen one")
    .option("--size <pixels>", "width x height", "1920x1200")
    .option("--dimmer <light>", "light of the engines, 0 to 1, instead of the job's")
    .option("--time <seconds>", "moment of the twinkle", "0")
    .option("--constellations", "draw constellations and names over it", false)
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
        const { work, chosen, job } = await openJob(path, shell, options.night, (read) =>
          options.tint ? read : { ...read, scene: { ...read.scene, tint: false } },
        );
        const { ceiling } = await work.upTo(chosen, "ceiling", shell);
        const [{ seatsOf }, { renderScene }] = await Promise.all([
          import("../scene/seats.ts"),
          import("../scene/render.ts"),
        ]);
        const dimmer =
          options.dimmer === undefined ? job.scene.dimmer : readNumber("--dimmer", options.dimmer, 0, 1);
        const seat = findSeat(seatsOf(job, ceiling), options.seat, ceiling, ceilingHeightMm(job.ceiling));
        const view = { seat, ...size };
        const scene = options.lightsOn
          ? await work.print(chosen, "sceneByDay", { ...view, samples: 3 }, shell)
          : await work.print(chosen, options.realSky ? "sceneOfSky" : "scene", view, shell);
        const frame = renderScene(scene, { timeS, dimmer: options.lightsOn ? 1 : dimmer });
        const over = options.constellations ? await work.print(chosen, "overlay", scene, shell) : undefined;
        const file = await writeNewFile(options.out, await pngOf(frame, size.widthPx, size.heightPx, over));
        const { warnings, holes } = await work.upTo(chosen, "holes");
        shell.warn(said(warnings));
        const from = [`seat ${seat.name}`, `dimmer ${dimmer}`, heightAssumed(job)].filter(Boolean).join(", ");
        shell.say(`Written: ${file} (${from})`);
        return { out: file, seat, dimmer, timeS, ...size, holes: holes.pattern.holes.length };
      }),
    );
}
