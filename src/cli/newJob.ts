import { MODULE_PRESETS, TEE_PRESETS } from "../ceiling/presets.ts";
import { JobFaults } from "../job/faults.ts";
import { startOf } from "../job/firm.ts";
import type { Firm } from "../job/firmFile.ts";
import type { Fault } from "../job/faults.ts";
import { JOB_FORMAT, JOB_VERSION } from "../job/schema.ts";
import { withWholeFigures } from "../job/wholeFigures.ts";
import type { JobInput } from "../job/schema.ts";
import { parseLength } from "../job/units.ts";
import type { LengthUnits } from "../job/units.ts";

/** What `velarium new` was told, as typed. */
export interface Answers {
  title: string;
  room?: string;
  module?: string;
  tee?: string;
  height?: string;
  bearing?: string;
  time?: string;
  occurrence?: "earlier" | "later";
  strands?: string;
  place: { name: string; latDeg: number; lonDeg: number };
  zone: string;
  firm?: Firm | undefined;
}

/** Stands in for an answer that can't be read, so that all others are looked through: one that no other can be wrong beside. */
const UNREAD = {
  room: [12_000, 12_000],
  module: { moduleMm: [1200, 1200] as [number, number] },
  teeFaceMm: 15,
  stock: [{ diameterMm: 0.75, count: 1 }],
} satisfies Record<string, unknown>;

/** A job from a few measurements, for a rectangular room, with a fault for every answer that is missing or can't be read. */
export function newJob(answers: Answers): { input: JobInput; faults: Fault[] } {
  const faults: Fault[] = [];
  const attempt = <T>(read: () => T): T | undefined => {
    try {
      return read();
    } catch (error) {
      if (!(error instanceof JobFaults)) throw error;
      faults.push(...error.faults);
      return undefined;
    }
  };
  const units = unitsOf(answers.room);
  const given = (path: string, answer: string | undefined): string => {
    if (answer !== undefined) return answer;
    throw new JobFaults([{ path, ...MISSING[path]!, got: "nothing" }]);
  };
  const room = attempt(() => readSize(given("--room", answers.room), units, "--room"));
  const module = attempt(() => readModule(given("--module", answers.module)));
  const { tee } = answers;
  const teeFaceMm = tee === undefined ? undefined : (attempt(() => readTee(tee)) ?? UNREAD.teeFaceMm);
  const stock = attempt(() => readStrands(given("--strands", answers.strands)));
  const time = attempt(() => given("--time", answers.time));
  const heightMm = attempt(() =>
    answers.height ? parseLength(answers.height, units, "--height") : undefined,
  );
  const bearingDeg = attempt(() => (answers.bearing ? readNumber(answers.bearing, "--bearing") : 0));
  const [width, depth] = room ?? UNREAD.room;
  const { title, place, zone, occurrence } = answers;
  const input = jobOf({
    title,
    units,
    ceiling: {
      outlineMm: [
        [0, 0],
        [width, 0],
        [width, depth],
        [0, depth],
      ],
      ...(heightMm === undefined ? {} : { heightMm }),
      ...(answers.bearing && bearingDeg !== undefined ? { bearingDeg, bearingFrom: "given" as const } : {}),
      grid: {
        ...(module ?? UNREAD.module),
        originMm: "balanced",
        ...(teeFaceMm === undefined ? {} : { teeFaceMm }),
      },
    },
    place,
    // without an hour its clock's two passes can't be told either
    moment: time === undefined ? { utc: "2029-09-08T22:00Z" } : momentOf(time, zone, occurrence),
    stock: stock ?? UNREAD.stock,
    firm: answers.firm,
  });
  return { input, faults };
}

/** What is asked for where an answer is missing. */
const MISSING: Record<string, Pick<Fault, "expected" | "next">> = {
  "--room": {
    expected: "the room's width x depth",
    next: "Write it with its unit, as 17ft 6in x 13ft 4in or 5.3x4.1m.",
  },
  "--module": {
    expected: "the grid's module, centre to centre of tees",
    next: "Measure it, and write 24x24in, 600x600 or a size.",
  },
  "--time": {
    expected: "the date and time of the night",
    next: "Write it as 2029-09-08T22:00, by the clocks of the place.",
  },
  "--strands": {
    expected: "how many strands of which diameter in mm",
    next: "Write count x diameter, as 1280x0.75,210x1.0.",
  },
};

/** `2029-09-08 22:00` by the clocks of a zone. */
const momentOf = (time: string, zone: string, occurrence?: Answers["occurrence"]) => ({
  local: time.trim().replace(" ", "T"),
  zone,
  ...(occurrence ? { occurrence } : {}),
});

/** A job from its ceiling, one sky and the strands. */
export function jobOf({
  title,
  units,
  ceiling,
  place,
  moment,
  stock,
  firm,
}: {
  title: string;
  units: LengthUnits;
  ceiling: JobInput["ceiling"];
  place: Answers["place"];
  moment: JobInput["sky"]["options"][number]["moment"];
  stock: JobInput["strands"]["stock"];
  firm?: Firm | undefined;
}): JobInput {
  return withWholeFigures({
    format: JOB_FORMAT,
    version: JOB_VERSION,
    ...(firm ? startOf(firm) : {}),
    title,
    units,
    ceiling,
    sky: { chosen: "first", options: [{ id: "first", title, place, moment }] },
    strands: { ...firm?.strands, stock },
  });
}

/** The units a person thinks in, by what was typed. */
export function unitsOf(text = ""): LengthUnits {
  if (/['"′″]|ft|in/i.test(text)) return "ft-in";
  if (/mm/i.test(text)) return "mm";
  if (/cm/i.test(text)) return "cm";
  return /m/i.test(text) ? "m" : "mm";
}

const isBare = (text: string): boolean => /^\d+(\.\d+)?$/.test(text);
/** Bare numbers below this are feet, metres or inches, not millimetres: no tile is so small, and no room. */
const FEWEST_BARE_MM = 250;

/** `17ft 6in x 13ft 4in`, `4.9x3.6m`, `16x12ft` (a bare first number takes the unit of the second). */
export function readSize(text: string, units: LengthUnits, path: string): [number, number] {
  const parts = text.split(/\s*[x×]\s*/i).map((part) => part.trim());
  if (parts.length !== 2 || parts.includes("")) {
    throw wrong(path, "two lengths with x between, as 17ft 6in x 13ft 4in", text, "Write width x depth.");
  }
  const [first, second] = parts as [string, string];
  // 5.32 x 4.17 is no room in millimetres: nobody's unit is guessed
  if (isBare(first) && isBare(second) && Math.max(Number(first), Number(second)) < FEWEST_BARE_MM)
    throw wrong(
      path,
      "lengths with their unit",
      text,
      `Say which: "${first} x ${second} m", "${first} x ${second} ft" or "${first} x ${second} in".`,
    );
  const unit = /[\d.]$/.test(first) ? (/[a-z'"′″]+$/i.exec(second)?.[0] ?? "") : "";
  return [parseLength(first + unit, units, path), parseLength(second, units, path)];
}

function readModule(text: string): { moduleMm: [number, number] } {
  const preset = MODULE_PRESETS.find(
    (p) => p.id === text.toLowerCase().replace(/[\s×]/g, (c) => (c === "×" ? "x" : "")),
  );
  if (preset) return { moduleMm: [...preset.moduleMm] };
  return { moduleMm: readSize(text, unitsOf(text), "--module") };
}

function readTee(text: string): number {
  const preset = TEE_PRESETS.find((p) => p.id === text);
  return preset ? preset.teeFaceMm : parseLength(text, "mm", "--tee");
}

/** `1280x0.75,210x1.0`: how many strands of which diameter in mm. */
export function readStrands(text: string): { diameterMm: number; count: number }[] {
  return text.split(",").map((part) => {
    const found = /^\s*(\d+)\s*[x×]\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*$/i.exec(part);
    if (!found) {
      throw wrong(
        "--strands",
        "count x diameter in mm, as 1280x0.75,210x1.0",
        part,
        "Write one pair for each diameter.",
      );
    }
    return { count: Number(found[1]), diameterMm: Number(found[2]) };
  });
}

export function readNumber(text: string, path: string): number {
  const value = Number(text);
  if (text.trim() === "" || !Number.isFinite(value))
    throw wrong(path, "a number", text, "Write degrees, as 341.5.");
  return value;
}

function wrong(path: string, expected: string, got: string, next: string): JobFaults {
  return new JobFaults([{ path, expected, got: JSON.stringify(got.slice(0, 60)), next }]);
}
