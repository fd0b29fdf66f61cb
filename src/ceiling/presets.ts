import type { PointMm } from "../geometry/types.ts";
import type { NoGoKind } from "../job/sections/ceiling.ts";
import { defaultTileMm } from "./grid.ts";
import { FACTS } from "../trade/facts.ts";

export interface ModulePreset {
  id: string;
  label: string;
  /** Centre to centre of tees. */
  moduleMm: PointMm;
  /** Usual tile; measure three and type the real one. */
  tileMm: PointMm;
}

const INCH = FACTS.inchModuleMm.value;
const METRIC = FACTS.metricModuleMm.value;
const GERMAN = FACTS.germanModuleMm.value;

function preset(id: string, label: string, moduleMm: PointMm): ModulePreset {
  return { id, label, moduleMm, tileMm: defaultTileMm(moduleMm) };
}

/** 2 ft is 609.6 mm; it's never 600 and never 610. */
export const MODULE_PRESETS: ModulePreset[] = [
  preset("24x24in", "24 x 24 in", [INCH, INCH]),
  preset("24x48in", "24 x 48 in", [INCH, 2 * INCH]),
  preset("600x600", "600 x 600 mm", [METRIC, METRIC]),
  preset("600x1200", "600 x 1200 mm", [METRIC, 2 * METRIC]),
  preset("625x625", "625 x 625 mm", [GERMAN, GERMAN]),
  preset("625x1250", "625 x 1250 mm", [GERMAN, 2 * GERMAN]),
];

export interface TeePreset {
  id: string;
  label: string;
  teeFaceMm: number;
}

/** The trade calls 15/16 in and 24 mm the same tee, and 9/16 in and 15 mm; the metric number is used. */
export const TEE_PRESETS: TeePreset[] = [
  { id: "wide", label: "15/16 in (24 mm)", teeFaceMm: FACTS.wideTeeMm.value },
  { id: "narrow", label: "9/16 in (15 mm)", teeFaceMm: FACTS.narrowTeeMm.value },
];

export interface WallAnglePreset {
  id: string;
  label: string;
  wallAngleMm: number;
}

/** Face of the wall angle. */
export const WALL_ANGLE_PRESETS: WallAnglePreset[] = [
  { id: "usual", label: "7/8 in (22 mm)", wallAngleMm: FACTS.wallAngleMm.value },
  { id: "seismic", label: "2 in (51 mm)", wallAngleMm: FACTS.seismicWallAngleMm.value },
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
