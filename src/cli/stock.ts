import type { Command } from "commander";
import { JobFaults } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import type { Aim, Mix, Offer } from "../pattern/advice.ts";
import { writeNewFile } from "./output.ts";
import { runCommand, type Shell } from "./shell.ts";
import { openJob } from "./work.ts";

interface Options {
  holes?: string;
  price?: string;
  diameters?: string;
  night?: string;
  out?: string;
  json: boolean;
}

export function registerStock(program: Command): void {
  program
    .command("stock")
    .description(
      "which strands to buy: for so many holes, or so much money, the mix that comes nearest to the sky",
    )
    .argument("<job>", "the job file (*.velarium.json)")
    .option("--holes <count>", "holes to make; without it and --price: as many as the job makes now")
    .option("--price <money>", "what the strands may cost, in the job's currency")
    .option(
      "--diameters <list>",
      'diameters on sale in mm, each with what one strand costs: "0.75@1.2,1.5@3.1"; prices else from the job',
    )
    .option("--night <id>", "another of the job's nights than the chosen one")
    .option(
      "--out <file>",
      "pictures of all mixes at one scale, *.svg; an existing file is never overwritten",
    )
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      "\nExample:\n  velarium stock hall.velarium.json --holes 900 --diameters 0.5@0.6,0.75@0.9,1.5@2.4",
    )
    .action((path: string, options: Options) =>
      runCommand(options.json, async (shell) => {
        if (options.out !== undefined && !/\.svg$/i.test(options.out))
          throw wrong("--out", "a file ending in .svg", options.out, "Name it so.");
        const { work, chosen, job } = await openJob(path, shell, options.night);
        const { offersOf } = await import("../pattern/advice.ts");
        const offers =
          options.diameters === undefined ? offersOf(job) : readOffers(options.diameters, job, offersOf);
        const aim = await aimOf(options, offers, async () => {
          const { holes } = await work.upTo(chosen, "holes", shell);
          return holes.pattern.holes.length;
        });
        const mixes = await work.print(chosen, "advice", { offers, aim }, shell);
        const { ceiling } = await work.upTo(chosen, "ceiling");
        tell(mixes, aim, job, shell);
        if (options.out !== undefined) {
          const { mixPicture, mostLightOf } = await import("../pattern/mixPicture.ts");
          const most = mostLightOf(mixes);
          const file = await writeNewFile(
            options.out,
            sheetOf(mixes.map((mix) => mixPicture(mix, ceiling, most))),
          );
          shell.say(`Written: ${file}, the mixes in this order at one scale`);
        }
        return { aim, offers, mixes: mixes.map((mix) => ({ ...mix, dots: undefined })) };
      }),
    );
}

const wrong = (path: string, expected: string, got: string, next: string): JobFaults =>
  new JobFaults([{ path, expected, got, next }]);

async function aimOf(
  { holes, price }: Options,
  offers: readonly Offer[],
  now: () => Promise<number>,
): Promise<Aim> {
  if (holes !== undefined && price !== undefined)
    throw wrong("--price", "--holes or --price, not both", price, "Leave one of them out.");
  if (holes !== undefined) {
    if (!/^[1-9]\d{0,5}$/.test(holes))
      throw wrong("--holes", "a whole number from 1 to 200000", holes, "Count the holes.");
    return { holes: Number(holes) };
  }
  if (price === undefined) return { holes: await now() };
  if (!(Number(price) > 0)) throw wrong("--price", "a sum above 0", price, "Write it without the currency.");
  const missing = offers.filter((offer) => offer.price === null).map(({ diameterMm }) => `${diameterMm} mm`);
  if (missing.length > 0)
    throw wrong(
      "--diameters",
      "a price for every diameter, where money is the limit",
      `none for ${missing.join(", ")}`,
      'Write them as "0.75@1.2" (one strand), or give takeoff.prices.strandPerM in the job.',
    );
  return { price: Number(price) };
}

function readOffers(list: string, job: Job, offersOf: (job: Job, diametersMm: number[]) => Offer[]): Offer[] {
  const parts = list.split(",").map((part) => part.trim());
  const read = parts.map((part) => {
    const found = /^(\d+(?:\.\d+)?)(?:@(\d+(?:\.\d+)?))?$/.exec(part);
    const diameterMm = Number(found?.[1]);
    if (!found || !(diameterMm >= 0.1 && diameterMm <= 10))
      throw wrong(
        "--diameters",
        "diameters from 0.1 to 10 mm, each with a price or without",
        part,
        'For example "0.75@1.2,1.5".',
      );
    return {
      diameterMm,
      price: found[2] === undefined ? offersOf(job, [diameterMm])[0]!.price : Number(found[2]),
    };
  });
  const twice = read.find((offer, i) => read.findIndex((o) => o.diameterMm === offer.diameterMm) < i);
  if (read.length > 5 || twice)
    throw wrong(
      "--diameters",
      "at most 5 diameters, each once",
      twice ? `${twice.diameterMm} mm twice` : `${read.length}`,
      "Leave some out.",
    );
  return read.sort((a, b) => a.diameterMm - b.diameterMm);
}

/** The short table: what is gained, and what it costs. */
function tell(mixes: readonly Mix[], aim: Aim, job: Job, shell: Shell): void {
  const { currency } = job.takeoff.prices;
  shell.say(
    "holes" in aim
      ? `For about ${aim.holes} holes. Contrast: what of the sky's magnitudes the light shows. Off: how far light is from the sky's own steps.`
      : `For at most ${aim.price} ${currency}. Contrast: what of the sky's magnitudes the light shows. Off: how far light is from the sky's own steps.`,
  );
  const head = [
    "mix",
    "strands to buy",
    "holes",
    "faintest",
    "contrast, mag",
    "off, mag",
    "of the 10 brightest lead",
    `price, ${currency}`,
  ];
  const rows = mixes.map((mix) => [
    mix.title,
    [...mix.stock].reverse().map(({ diameterMm, count }) => `${count} × ${diameterMm}`).join(", "),
    String(mix.holes),
    mix.faintestMagnitude.toFixed(1),
    `${mix.contrastMag.toFixed(1)} of ${mix.skyContrastMag.toFixed(1)}`,
    mix.skyErrorMag.toFixed(2),
    mix.leading.toFixed(1),
    mix.price === null ? "not known" : mix.price.toFixed(2),
  ]); // prettier-ignore
  const widths = head.map((words, i) => Math.max(words.length, ...rows.map((row) => row[i]!.length)));
  for (const row of [head, ...rows]) shell.say(`  ${row.map((cell, i) => cell.padEnd(widths[i]!)).join("  ").trimEnd()}`); // prettier-ignore
}

/** Pictures side by side in one file. */
function sheetOf(pictures: readonly string[]): string {
  const [side, gap] = [400, 16];
  const placed = pictures.map((svg, i) =>
    svg.replace("<svg ", `<svg x="${gap + i * (side + gap)}" y="${gap}" width="${side}" height="${side}" `),
  );
  const width = gap + pictures.length * (side + gap);
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${side + 2 * gap}">` +
    `<rect width="100%" height="100%" fill="#000000"/>${placed.join("")}</svg>\n`
  );
}
