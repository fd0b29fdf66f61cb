import type { PointMm } from "../geometry/types.ts";

/** Linear sRGB by daylight. These are looks chosen by eye, not measurements. */
type Colour = readonly [red: number, green: number, blue: number];

/** One kind of thing on a ceiling that a strand must keep away from. */
export interface NoGoKindRow {
  /** On screen, in lists and as the beginning of a thing's name. */
  label: string;
  /** What a survey starts with; a shop rule, like the clearance: no code value (common practice, no source). */
  shape: { circle: { radiusMm: number } } | { rectangle: { sizeMm: PointMm } };
  clearanceMm: number;
  /** What to measure or ask. */
  hint: string;
  /** Somebody opens it, or something goes on above it: no bundle runs there. */
  opened: boolean;
  /** Its tile waits for an answer whether or not an owner is named (common practice, no source). */
  asked: boolean;
  /** The caution that it brings along. */
  caution: "sprinkler" | "fire-detector" | "motion-detector" | "emergency" | "luminaire" | "air" | null;
  /** Seen by daylight: face, rim where it has one, and what breaks the face up. */
  look: {
    face: Colour;
    rim?: { mm: number; colour: Colour };
    pattern?: "louvres" | "grille" | "frame" | "dashes" | "ring";
  };
  /** How a round one is marked on the ceiling drawing of the studio. */
  mark: "cross" | "ring";
}

const round = (radiusMm: number) => ({ circle: { radiusMm } });
const rectangle = (x: number, y: number) => ({ rectangle: { sizeMm: [x, y] satisfies PointMm } });
const WHITE: Colour = [0.547, 0.547, 0.547];
const LAMP = { face: [0.958, 0.955, 0.947], rim: { mm: 18, colour: [0.5, 0.5, 0.496] } } as const;
const SMALL_DOME = { face: [0.568, 0.568, 0.559], pattern: "ring" } as const;

/**
 * Every kind of no-go, one row each, in the order of the list one chooses from. The schema, presets, cautions,
 * holds, void, pictures, drawing and papers all read it: a kind is added here and nowhere else.
 */
export const NO_GO = {
  sprinkler: {
    label: "Sprinkler head",
    shape: round(40),
    clearanceMm: 50,
    hint: "Across its escutcheon. Leave the whole tile plain until whoever looks after the heads agrees in writing.",
    opened: false,
    asked: true,
    caution: "sprinkler",
    look: { face: [0.295, 0.259, 0.197], rim: { mm: 14, colour: [0.568, 0.568, 0.563] } },
    mark: "cross",
  },
  "smoke-detector": {
    label: "Smoke or heat detector",
    shape: round(60),
    clearanceMm: 100,
    hint: "Never covered, moved or recessed. Ask whoever looks after the alarm.",
    opened: false,
    asked: true,
    caution: "fire-detector",
    look: SMALL_DOME,
    mark: "ring",
  },
  "motion-detector": {
    label: "Motion or occupancy detector",
    shape: round(55),
    clearanceMm: 50,
    hint: "Keep face and field of view clear.",
    opened: false,
    asked: false,
    caution: "motion-detector",
    look: SMALL_DOME,
    mark: "ring",
  },
  luminaire: {
    label: "Luminaire",
    shape: rectangle(600, 600),
    clearanceMm: 25,
    hint: "Its trim, not its opening.",
    opened: false,
    asked: false,
    caution: "luminaire",
    look: LAMP,
    mark: "ring",
  },
  "emergency-light": {
    label: "Emergency light",
    shape: rectangle(300, 150),
    clearanceMm: 50,
    hint: "Access and label stay free.",
    opened: false,
    asked: false,
    caution: "emergency",
    look: LAMP,
    mark: "ring",
  },
  "exit-sign": {
    label: "Exit sign",
    shape: rectangle(350, 150),
    clearanceMm: 50,
    hint: "Keep it in sight.",
    opened: false,
    asked: false,
    caution: "emergency",
    look: { face: [0.0489, 0.449, 0.197], rim: { mm: 10, colour: WHITE } },
    mark: "ring",
  },
  diffuser: {
    label: "Diffuser or grille",
    shape: rectangle(600, 600),
    clearanceMm: 25,
    hint: "Supply, return or transfer air.",
    opened: true,
    asked: false,
    caution: "air",
    look: { face: [0.547, 0.547, 0.542], pattern: "louvres" },
    mark: "ring",
  },
  speaker: {
    label: "Loudspeaker",
    shape: round(120),
    clearanceMm: 25,
    hint: "Its grille.",
    opened: false,
    asked: false,
    caution: "emergency",
    look: { face: [0.481, 0.481, 0.481], pattern: "grille" },
    mark: "ring",
  },
  camera: {
    label: "Camera",
    shape: round(80),
    clearanceMm: 50,
    hint: "Keep its field of view clear.",
    opened: false,
    asked: false,
    caution: "emergency",
    look: { face: [0.0198, 0.0198, 0.0247], rim: { mm: 25, colour: WHITE } },
    mark: "ring",
  },
  hatch: {
    label: "Access hatch",
    shape: rectangle(600, 600),
    clearanceMm: 0,
    hint: "A whole tile is better left plain by its name.",
    opened: true,
    asked: false,
    caution: "air",
    look: { face: [0.563, 0.559, 0.547], pattern: "frame" },
    mark: "ring",
  },
  "future-fitting": {
    label: "Future fitting",
    shape: rectangle(600, 300),
    clearanceMm: 50,
    hint: "Something hung later, as a screen, shelf, track or projector: its outline on the ceiling.",
    opened: false,
    asked: false,
    caution: "luminaire",
    look: { face: [0.0316, 0.0325, 0.0392], pattern: "dashes" },
    mark: "ring",
  },
  other: {
    label: "Something else",
    shape: rectangle(300, 300),
    clearanceMm: 25,
    hint: "Say what it is in its name.",
    opened: false,
    asked: false,
    caution: null,
    look: SMALL_DOME,
    mark: "ring",
  },
} as const satisfies Record<string, NoGoKindRow>;

export type NoGoKind = keyof typeof NO_GO;
export const NO_GO_KINDS = Object.keys(NO_GO) as NoGoKind[];

/** The kind within a sentence or a table: "smoke detector". */
export const kindWords = (kind: NoGoKind): string =>
  kind === "speaker" ? "loudspeaker" : kind.replaceAll("-", " ");

export const NO_GO_SOURCE = "shop rule, common practice, no source: not a code value";
