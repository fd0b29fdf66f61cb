import type { PointMm } from "../geometry/types.ts";
import type { NoGoKind } from "../job/sections/ceiling.ts";
import { defaultTileMm } from "./grid.ts";

/** Where a preset's number comes from; rows of the trade facts, not a standard. */
export interface Provenance {
  source: string;
  confidence: "high" | "medium" | "low";
}

export interface ModulePreset {
  id: string;
  label: string;
  /** Centre to centre of tees. */
  moduleMm: PointMm;
  /** Usual tile; measure three and type the real one. */
  tileMm: PointMm;
  module: Provenance;
  tile: Provenance;
}

const FOOT_MM = 304.8;
/** Sizes of lay-in tiles are set by makers, not by ASTM E1264. */
const TILE_MADE: Provenance = {
  source: "from memory and common practice: measure three",
  confidence: "medium",
};
const INCH_MODULE: Provenance = { source: "reference pages on suspended ceilings", confidence: "high" };
const METRIC_600: Provenance = { source: "reference page on suspended ceilings", confidence: "high" };
const METRIC_625: Provenance = { source: "from memory", confidence: "medium" };

function preset(id: string, label: string, moduleMm: PointMm, module: Provenance): ModulePreset {
  return { id, label, moduleMm, tileMm: defaultTileMm(moduleMm), module, tile: TILE_MADE };
}

/** 2 ft is 609.6 mm; it's never 600 and never 610. */
export const MODULE_PRESETS: ModulePreset[] = [
  preset("24x24in", "24 x 24 in", [2 * FOOT_MM, 2 * FOOT_MM], INCH_MODULE),
  preset("24x48in", "24 x 48 in", [2 * FOOT_MM, 4 * FOOT_MM], INCH_MODULE),
  preset("600x600", "600 x 600 mm", [600, 600], METRIC_600),
  preset("600x1200", "600 x 1200 mm", [600, 1200], METRIC_600),
  preset("625x625", "625 x 625 mm", [625, 625], METRIC_625),
  preset("625x1250", "625 x 1250 mm", [625, 1250], METRIC_625),
];

export interface TeePreset {
  id: string;
  label: string;
  teeFaceMm: number;
}

/** The trade calls 15/16 in and 24 mm the same tee, and 9/16 in and 15 mm; the metric number is used. */
export const TEE_PRESETS: TeePreset[] = [
  { id: "wide", label: "15/16 in (24 mm)", teeFaceMm: 24 },
  { id: "narrow", label: "9/16 in (15 mm)", teeFaceMm: 15 },
];

export interface WallAnglePreset {
  id: string;
  label: string;
  wallAngleMm: number;
}

/** Face of the wall angle; the wide one where ASTM E580 asks for it in US seismic design categories D to F. */
export const WALL_ANGLE_PRESETS: WallAnglePreset[] = [
  { id: "usual", label: "7/8 in (22 mm)", wallAngleMm: 22 },
  { id: "seismic", label: "2 in (51 mm)", wallAngleMm: 51 },
];

/** What a survey starts a no-go zone with. */
export interface NoGoPreset {
  kind: NoGoKind;
  label: string;
  shape: { circle: { radiusMm: number } } | { rectangle: { sizeMm: PointMm } };
  clearanceMm: number;
  /** What to measure or ask. */
  hint: string;
}

export const NO_GO_SOURCE = "shop rule, common practice, no source: not a code value";

const round = (radiusMm: number) => ({ circle: { radiusMm } });
const rectangle = (x: number, y: number) => ({ rectangle: { sizeMm: [x, y] satisfies PointMm } });

/** Sizes and clearances to start from, all of them NO_GO_SOURCE. */
export const NO_GO_PRESETS: NoGoPreset[] = [
  {
    kind: "sprinkler",
    label: "Sprinkler head",
    shape: round(40),
    clearanceMm: 50,
    hint: "Radius of the escutcheon. Leave the whole tile plain until whoever looks after the heads agrees in writing.",
  },
  {
    kind: "smoke-detector",
    label: "Smoke or heat detector",
    shape: round(60),
    clearanceMm: 100,
    hint: "Never covered, moved or recessed. Ask whoever looks after the alarm.",
  },
  {
    kind: "motion-detector",
    label: "Motion or occupancy detector",
    shape: round(55),
    clearanceMm: 50,
    hint: "Keep face and field of view clear.",
  },
  {
    kind: "luminaire",
    label: "Luminaire",
    shape: rectangle(600, 600),
    clearanceMm: 25,
    hint: "Its trim, not its opening.",
  },
  {
    kind: "emergency-light",
    label: "Emergency light",
    shape: rectangle(300, 150),
    clearanceMm: 50,
    hint: "Access and label stay free.",
  },
  {
    kind: "exit-sign",
    label: "Exit sign",
    shape: rectangle(350, 150),
    clearanceMm: 50,
    hint: "Keep it in sight.",
  },
  {
    kind: "diffuser",
    label: "Air diffuser or grille",
    shape: rectangle(600, 600),
    clearanceMm: 25,
    hint: "Supply, return or transfer air.",
  },
  { kind: "speaker", label: "Loudspeaker", shape: round(120), clearanceMm: 25, hint: "Its grille." },
  {
    kind: "camera",
    label: "Camera",
    shape: round(80),
    clearanceMm: 50,
    hint: "Keep its field of view clear.",
  },
  {
    kind: "hatch",
    label: "Access hatch or access tile",
    shape: rectangle(600, 600),
    clearanceMm: 0,
    hint: "A whole tile is better left plain by its name.",
  },
  {
    kind: "future-fitting",
    label: "Something to be hung later",
    shape: rectangle(600, 300),
    clearanceMm: 50,
    hint: "Screen, shelf, track, projector: its outline on the ceiling.",
  },
  {
    kind: "other",
    label: "Other",
    shape: rectangle(300, 300),
    clearanceMm: 25,
    hint: "Say what it is in its name.",
  },
];
