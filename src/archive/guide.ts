import type { Job } from "../job/schema.ts";

/** What lies in an archive, a line each, for whoever opens it without any program of ours. */
export interface ArchivedFile {
  path: string;
  what: string;
}

/** Lines no longer than this: any viewer, any printer. */
const WIDTH = 76;

/**
 * The guide that lies on top of an archive: plain text that says what the files are, how to read them by eye, and what to do
 * with no program left that opens the job.
 */
export function readingGuide(job: Job, files: readonly ArchivedFile[], on: string): string {
  const widest = Math.max(...files.map(({ path }) => path.length));
  const list = files.map(({ path, what }) => `  ${path.padEnd(widest)}  ${what}`);
  return [
    job.title,
    "=".repeat(Math.min(WIDTH, job.title.length)),
    "",
    ...[job.client && `For ${job.client}`, job.room, job.firm && `By ${job.firm}`].filter(Boolean),
    `Put together on ${on}. Revision ${job.revision}.`,
    "",
    ...wrapped(
      "This is a star ceiling: strands of light-guiding fibre end in holes of suspended ceiling tiles, each hole a star of one real night. " +
        "Everything needed to service it, or to make a tile again, is in this archive, in formats that need no program of the maker's.",
    ),
    "",
    "TO REPLACE A DARK STAR",
    ...wrapped(
      "Read the name of the tile off its back, or find it on the map in papers/client.pdf (tiles are lettered by rows from the top of the plan and numbered from the left). " +
        "The page of that tile shows every hole with its number. tables/holes.csv has the same hole by tile and number, with its place from the tile's lower left corner seen from above, its strands and its engine; tables/strands.csv the length of each strand. " +
        "tables/as-built.csv, where it is there, says what differs from the plan.",
    ),
    "",
    "WHAT IS HERE",
    ...list,
    "",
    "HOW TO READ IT",
    ...wrapped(
      "PDF: papers for people, made after ISO 19005-2 (PDF/A-2b): fonts inside, nothing needed from outside. The templates are at true size; print them at 100 % and measure the bars of 150 mm.",
    ),
    ...wrapped(
      "CSV: tables, text in UTF-8, cells parted by commas, one line a row, names of columns in the first line. Lengths are millimetres where a name ends in _mm, metres where it ends in _m.",
    ),
    ...wrapped("DXF and SVG: drawings in millimetres, seen from above."),
    ...wrapped(
      "JSON: the job and the record as the program keeps them, text in UTF-8. velarium-job.schema.json describes every key of the job (JSON Schema). In the job, `issued` holds what was issued to be punched; tables/holes.csv is the ceiling as built, easier to read.",
    ),
    ...wrapped(
      "The plan is seen from ABOVE, as on a floor plan. The back of a tile reads like the plan; from the room it is mirrored left to right.",
    ),
    ...wrapped(
      "files.sha256 lists a sum of every file: `sha256sum --check files.sha256` tells whether any was damaged.",
    ),
    "",
    "BEFORE ANYBODY LIFTS A TILE",
    ...wrapped(
      "Switch the engines off. Sprinklers, detectors, lights and diffusers belong to others: the local code in its edition in force, the owners of those systems and licensed trades decide. The cautions of this job are in papers/van.pdf.",
    ),
    "",
  ].join("\r\n");
}

function wrapped(words: string): string[] {
  const lines = [""];
  for (const word of words.split(" ")) {
    const line = lines.at(-1)!;
    if (line !== "" && line.length + 1 + word.length > WIDTH) lines.push(word);
    else lines[lines.length - 1] = line === "" ? word : `${line} ${word}`;
  }
  return lines;
}
