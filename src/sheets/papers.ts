import type { Job } from "../job/schema.ts";
import { JobFaults } from "../job/faults.ts";
import { FACTS } from "../trade/facts.ts";

/** A sheet or a roll to print on. Widths and heights upright, in mm. */
export interface Paper {
  name: string;
  family: "ISO 216" | "US" | "ANSI Y14.1" | "ARCH" | "roll";
  widthMm: number;
  /** null: a roll, as long as the drawing needs. */
  heightMm: number | null;
  /** What a printer leaves white: along the long edges, and at the short edges. */
  marginMm: { sides: number; ends: number };
}

/** 25.4 mm, without the tail that 24 * 25.4 has in binary. */
const mmOf = (inches: number): number => (inches * 254) / 10;

const DESKTOP = { sides: FACTS.desktopMarginMm.value, ends: FACTS.desktopMarginMm.value };
const PLOTTER = { sides: FACTS.plotterSideMm.value, ends: FACTS.plotterTrailMm.value };

function sheet(family: Paper["family"], name: string, widthMm: number, heightMm: number): Paper {
  return { name, family, widthMm, heightMm, marginMm: widthMm > 300 ? PLOTTER : DESKTOP };
}

function inches(family: Paper["family"], name: string, width: number, height: number): Paper {
  return sheet(family, name, mmOf(width), mmOf(height));
}

function roll(width: number): Paper {
  return {
    name: `Roll ${width} in`,
    family: "roll",
    widthMm: mmOf(width),
    heightMm: null,
    marginMm: PLOTTER,
  };
}

/** ISO 216 A series; ANSI/ASME Y14.1 sizes A (Letter), B (Tabloid), C, D, E; ARCH A to E1; plotter rolls. */
export const PAPERS: readonly Paper[] = [
  sheet("ISO 216", "A4", 210, 297),
  sheet("ISO 216", "A3", 297, 420),
  sheet("ISO 216", "A2", 420, 594),
  sheet("ISO 216", "A1", 594, 841),
  sheet("ISO 216", "A0", 841, 1189),
  inches("US", "Letter", 8.5, 11),
  inches("US", "Legal", 8.5, 14),
  inches("US", "Tabloid", 11, 17),
  inches("ANSI Y14.1", "ANSI C", 17, 22),
  inches("ANSI Y14.1", "ANSI D", 22, 34),
  inches("ANSI Y14.1", "ANSI E", 34, 44),
  inches("ARCH", "ARCH A", 9, 12),
  inches("ARCH", "ARCH B", 12, 18),
  inches("ARCH", "ARCH C", 18, 24),
  inches("ARCH", "ARCH D", 24, 36),
  inches("ARCH", "ARCH E1", 30, 42),
  inches("ARCH", "ARCH E", 36, 48),
  roll(24),
  roll(36),
  roll(42),
];

/** Desktop printers take sheets up to this wide (A3, Tabloid); what is wider wants a plotter. */
const DESKTOP_MM = 300;

export const printerOf = ({ heightMm, widthMm }: Paper): "desktop" | "plotter" =>
  heightMm !== null && widthMm <= DESKTOP_MM ? "desktop" : "plotter";

/** Said of the paper that takes least time of those that such a printer takes. */
export const QUICKEST = { desktop: "quickest on a desktop printer", plotter: "quickest on a plotter" };

/** What is read, signed or kept in a binder: A4, or Letter where templates are on American paper. */
export function packPaper({ sheets, units }: Pick<Job, "sheets" | "units">): Paper {
  const { family } = paperByName(sheets.paper);
  const american = family === "roll" ? units === "ft-in" : family !== "ISO 216";
  return paperByName(american ? "Letter" : "A4");
}

const plainName = (name: string) => name.toLowerCase().replace(/[^a-z0-9]/g, "");

/** The paper of that name, letter case and blanks aside. Throws JobFaults at `sheets.paper` for an unknown one. */
export function paperByName(name: string): Paper {
  const found = PAPERS.find((paper) => plainName(paper.name) === plainName(name));
  if (found) return found;
  throw new JobFaults([
    {
      path: "sheets.paper",
      expected: `one of ${PAPERS.map((paper) => paper.name).join(", ")}`,
      got: JSON.stringify(name.slice(0, 40)),
      next: "Choose a paper from the list.",
    },
  ]);
}
