import { passOf } from "../choose/words.ts";
import { dateAndClock } from "../job/writtenTime.ts";
import type { Command } from "commander";
import { cautionsFor, WHO_DECIDES } from "../job/cautions.ts";
import type { Warning } from "../job/faults.ts";
import { LIKENESS_ROWS } from "../pattern/likenessWords.ts";
import { magnitudes } from "../pattern/ladder.ts";
import { countStrands } from "../pattern/packing.ts";
import type { Planned } from "../plan.ts";
import { planned, said } from "../work/stage.ts";
import type { How } from "../work/work.ts";
import { checkFolder, pause, writeAndList } from "./output.ts";
import { runCommand } from "./shell.ts";
import type { Shell } from "./shell.ts";
import { openJob } from "./work.ts";

interface Options {
  out: string;
  record?: string;
  replace: boolean;
  json: boolean;
}

export function registerPlan(program: Command): void {
  program
    .command("plan")
    .description("work a job out: holes, tables, the whole ceiling, and full-size templates for every tile")
    .argument("<job>", "the job file (*.velarium.json)")
    .requiredOption("--out <folder>", "where everything goes; the folder appears whole or not at all")
    .option("--record <file>", "what happened at the bench and since: everything is then drawn as built")
    .option("--replace", "put it in the place of an earlier plan in that folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText("after", "\nExample:\n  velarium plan hall.velarium.json --out hall")
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        await checkFolder(options.out, options.replace);
        const { work, chosen, job } = await openJob(path, shell);
        const { recordFor } = await import("./recordFile.ts");
        const recorded = await recordFor(job, options.record);
        const { begunSaid } = await import("../work/asBuilt.ts");
        const missing: Warning[] = [];
        const how: How<"plan"> = {
          signal: shell.signal,
          pause,
          ...recorded,
          onWarning: (warning) => missing.push(warning),
          onProgress: (done, total) => shell.progress(`Drawing sheets: ${done} of ${total} tiles`),
        };
        const drawn = await work.print(chosen, "plan", how, shell);
        shell.progress("Writing");
        const { folder, files } = await writeAndList(options.out, drawn, {
          replace: options.replace,
          signal: shell.catchInterrupts(),
        });
        const made = await work.upTo(chosen, "bundles");
        const plan = {
          ...planned(made),
          warnings: [...said(made.warnings), ...begunSaid(made, recorded.record), ...missing],
        };
        tellPlan(plan, shell);
        shell.say(`Written: ${folder}`);
        return { out: folder, files, ...planSummary(plan) };
      }),
    );
}

/** What a person wants to hear first about a plan. */
function tellPlan(plan: Planned, shell: Shell): void {
  const { pattern, frame } = plan;
  const { fidelity } = pattern;
  shell.warn(plan.warnings);
  shell.say(`${plan.job.title}: ${plan.night.title || plan.night.id}`);
  shell.say(
    `  ${dateAndClock(frame.instant.localIso, frame.instant.zone, passOf(plan.night.moment))} (${frame.instant.utcIso}), Sun ${frame.sun.altitudeDeg.toFixed(1)}°`,
  );
  shell.say(
    `  ${pattern.holes.length} holes: ${fidelity.stars} real, ${fidelity.filler} filler; ` +
      `${fidelity.moved} moved, ${fidelity.merged} merged, ${fidelity.lost} left out`,
  );
  const spare = pattern.spare.map(({ diameterMm, count }) => `${count} of ${diameterMm} mm`).join(", ");
  shell.say(
    `  ${countStrands(pattern.holes)} strands${spare ? `, spare: ${spare}` : ""}; light to the power ${fidelity.lightExponent}, ` +
      `steps within ${fidelity.stepErrorMag.toFixed(2)} mag` +
      (pattern.scale.ends
        ? `; the whole scale for constellations that matter (${magnitudes(pattern.scale.ends)})`
        : ""),
  );
  for (const { name, words } of LIKENESS_ROWS) {
    const told = words(fidelity, plan.job.units);
    if (told !== "") shell.say(`  ${name}: ${told}`);
  }
  const cautions = cautionsFor(plan.job);
  shell.say(`Cautions that fit this job (in full in plan.json): ${cautions.map((c) => c.title).join("; ")}.`);
  shell.say(WHO_DECIDES);
}

function planSummary({ pattern, frame, warnings, job }: Planned): object {
  return {
    holes: pattern.holes.length,
    strands: countStrands(pattern.holes),
    spare: pattern.spare,
    wanted: pattern.wanted,
    fidelity: pattern.fidelity,
    utc: frame.instant.utcIso,
    sunAltitudeDeg: frame.sun.altitudeDeg,
    warnings,
    cautions: cautionsFor(job),
  };
}
