import { randomBytes } from "node:crypto";
import type { Command } from "commander";
import type { Side } from "../ceiling/flip.ts";
import { CannotDo, JobFaults, type Warning } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import type { PointMm } from "../geometry/types.ts";
import { fourCorners } from "../photo/corners.ts";
import type { Corner } from "../photo/darkTest.ts";
import type { JudgedAs } from "../photo/findings.ts";
import type { DarkTest } from "../photo/types.ts";
import type { WorkRecord } from "../record/record.ts";
import type { PrintedPicture } from "../sheets/photo/sheet.ts";
import { planned, said } from "../work/stage.ts";
import { checkFolder, writeFolder, type OutputFile } from "./output.ts";
import { runCommand } from "./shell.ts";
import { openJob } from "./work.ts";

interface Options {
  out: string;
  corners?: string;
  tile?: string;
  side: string;
  record?: string | true;
  who: string;
  replace: boolean;
  json: boolean;
}

export function registerPhoto(program: Command): void {
  program
    .command("photo")
    .description("the dark test by photograph: judge every strand from pictures of the lit ceiling")
    .argument("<job>", "the job file (*.velarium.json)")
    .argument("<picture...>", "photographs, JPEG or PNG, of the whole ceiling or of parts")
    .requiredOption(
      "--out <folder>",
      "marked pictures, photo.csv and the sheet go there; appears whole or not at all",
    )
    .option("--tile <name>", "one tile on the bench, against a window or with its engine on: holes to 1 mm")
    .option("--side <side>", "the side of it that the picture shows: face or back", "face")
    .option(
      "--corners <points>",
      'where the plan can\'t be found: "x,y x,y x,y x,y" in pixels of the first picture, the ceiling\'s upper left, upper right, lower right and lower left corner as on the plan; "x,y@X,Y" for another place of the plan in mm', // prettier-ignore
    )
    .option(
      "--record [file]",
      "judge against the ceiling as built by this record, and write record.json: strands found dead, weak or moved put beside its entries", // prettier-ignore
    )
    .option("--who <name>", "who adds the findings to the record", "")
    .option("--replace", "put it in the place of an earlier folder", false)
    .option("--json", "print the result for machines", false)
    .addHelpText(
      "after",
      "\nExample:\n  velarium photo hall.velarium.json dark-1.jpg dark-2.jpg --out hall-dark",
    )
    .action((path: string, pictures: string[], options: Options) =>
      runCommand(options.json, async (shell) => {
        const side = readSide(options.side);
        await checkFolder(options.out, options.replace);
        const { checkPictures, readPicture, markedPicture } = await import("./photographs.ts");
        await checkPictures(pictures);
        const { work, chosen, job } = await openJob(path, shell);
        const record = options.record === undefined ? null : await openRecord(job, options.record);
        const made = await work.upTo(chosen, "bundles", shell);
        const { asBuilt, addedOf } = await import("../asBuilt/built.ts");
        const { plan, bundles, differences } = asBuilt(
          planned(made),
          made.bundles.bundles,
          record?.entries ?? [],
        );
        const [
          { DarkTester },
          { darkTestInput },
          { drawMarks },
          { tileBoxes },
          { darkTestFiles },
          { loadFonts },
        ] = await Promise.all([
          import("../photo/darkTest.ts"),
          import("../photo/input.ts"),
          import("../sheets/photo/marked.ts"),
          import("../sheets/photo/tileBoxes.ts"),
          import("../sheets/photo/files.ts"),
          import("./fonts.ts"),
        ]);
        const input = darkTestInput(plan, bundles, { side, tile: options.tile?.toUpperCase() ?? null });
        const corners =
          options.corners === undefined
            ? null
            : readCorners(options.corners, fourCorners(job.ceiling.outlineMm));
        const tester = new DarkTester(input);
        for (const [i, name] of pictures.entries()) {
          shell.signal.throwIfAborted();
          const picture = await readPicture(name);
          tester.add(picture, i === 0 ? corners : null, {
            tell: (words, share) =>
              shell.progress(`${name}: ${words.toLowerCase()} (${Math.round(100 * share)} %)`),
          });
        }
        const test = tester.result();
        if (test.pictures.every((p) => p.placing === null)) {
          const [first] = test.pictures;
          throw new CannotDo(
            test.pictures.map((p) => (pictures.length > 1 ? `${p.name}: ${p.words}` : p.words)).join("\n"),
            `${first!.next} Corners and sides are told by --corners and --side.`,
          );
        }
        const fonts = await loadFonts(JSON.stringify(plan.job));
        const boxes = tileBoxes(input.ceiling.tiles);
        const files: OutputFile[] = [];
        const printed: PrintedPicture[] = [];
        for (const [i, name] of pictures.entries()) {
          if (test.pictures[i]!.placing === null) continue;
          shell.progress(`Marking ${name}`);
          const marked = await markedPicture(name, drawMarks(test, tester, i, boxes), fonts);
          files.push({ path: `marked-${i + 1}.jpg`, bytes: marked.bytes });
          printed.push({ ...marked, name: test.pictures[i]!.name });
        }
        const missing: Warning[] = [];
        const tell = (warning: Warning) => void missing.push(warning);
        files.push(...(await darkTestFiles(plan, test, printed, fonts, tell)));
        const told =
          record &&
          (await withFindings(record, test, { job, who: options.who, added: addedOf(differences) }));
        if (told) files.push({ path: "record.json", bytes: told.text });
        const folder = await writeFolder(options.out, files, {
          replace: options.replace,
          signal: shell.catchInterrupts(),
        });
        shell.warn([...said(made.warnings), ...missing]);
        for (const p of test.pictures) shell.say(`${p.name}: ${p.words}${p.next ? ` ${p.next}` : ""}`);
        for (const { words } of [...test.tiles, ...test.dark]) shell.say(`  ${words}`);
        const counts = Object.entries(test.counts).filter(([, count]) => count > 0);
        shell.say(counts.map(([verdict, count]) => `${count} ${verdict}`).join(", "));
        if (told) shell.say(`For the record: ${told.words || "nothing that it does not say already"}.`);
        shell.say(`Written: ${folder}`);
        return { out: folder, files: files.map((f) => f.path), ...test };
      }),
    );
}

/** The record that findings go to: that of a file, or an empty one of this job. Throws JobFaults. */
async function openRecord(job: Job, file: string | true): Promise<WorkRecord> {
  if (file === true)
    return (await import("../record/record.ts")).emptyRecord({ id: job.id ?? "", title: job.title });
  return (await import("./recordFile.ts")).readRecordOf(job, file);
}

async function withFindings(
  record: WorkRecord,
  test: DarkTest,
  { job, who, added }: { job: Job; who: string; added: JudgedAs["added"] },
): Promise<{ text: string; words: string }> {
  const [{ findingsFor, findingWords }, { merged }, { writeRecord }] = await Promise.all([
    import("../photo/findings.ts"),
    import("../record/record.ts"),
    import("../record/write.ts"),
  ]);
  const run = randomBytes(6).toString("hex");
  const device = test.pictures.map(({ name }) => name).join(", ");
  let n = 0;
  const stamp = () => ({
    id: `${run}-${++n}`,
    atMs: Date.now(),
    who: who.slice(0, 60),
    device: device.slice(0, 60),
    revision: job.revision,
  });
  const found = findingsFor(test, record.entries, stamp, { record: record.entries, added });
  return { text: writeRecord(merged(record, found)), words: findingWords(found) };
}

function readSide(word: string): Side {
  if (word === "face" || word === "back") return word;
  throw new JobFaults([
    {
      path: "--side",
      expected: "face or back",
      got: word,
      next: "Say which side of the tile the picture shows.",
    },
  ]);
}

/** Where the four corners (`fourCorners`) are in the picture, or places given with @. Throws JobFaults. */
export function readCorners(words: string, corners: readonly PointMm[]): Corner[] {
  const points = words.trim().split(/\s+/);
  const read = points.map((point, i): Corner | null => {
    const match = /^(-?[\d.]+),(-?[\d.]+)(?:@(-?[\d.]+),(-?[\d.]+))?$/.exec(point);
    if (!match) return null;
    const [xPx, yPx, x, y] = match.slice(1).map((part) => (part === undefined ? undefined : Number(part)));
    const [xMm, yMm] = x === undefined ? (corners[i] ?? [NaN, NaN]) : [x, y!];
    const corner = { xPx: xPx!, yPx: yPx!, xMm, yMm };
    return Object.values(corner).every(Number.isFinite) ? corner : null;
  });
  if (points.length >= 4 && read.every((c) => c !== null)) return read;
  throw new JobFaults([
    {
      path: "--corners",
      expected: "four or more points in pixels, as 812,640 3120,655 3900,2700 150,2650",
      got: words,
      next: "Name the ceiling's corners as on the plan: upper left, upper right, lower right, lower left.",
    },
  ]);
}
