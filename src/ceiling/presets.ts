import { NO_GO, NO_GO_KINDS, type NoGoKind, type NoGoKindRow } from "../job/noGoKinds.ts";
import type { PointMm } from "../geometry/types.ts";
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
  preset("24x24in", "24 × 24 in", [INCH, INCH]),
  preset("24x48in", "24 × 48 in", [INCH, 2 * INCH]),
  preset("600x600", "600 × 600 mm", [METRIC, METRIC]),
  preset("600x1200", "600 × 1200 mm", [METRIC, 2 * METRIC]),
  preset("625x625", "625 × 625 mm", [GERMAN, GERMAN]),
  preset("625x1250", "625 × 1250 mm", [GERMAN, 2 * GERMAN]),
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
export type NoGoPreset = NoGoKindRow & { kind: NoGoKind };

/** Sizes and clearances to start from, all of them NO_GO_SOURCE. */
export const NO_GO_PRESETS: NoGoPreset[] = NO_GO_KINDS.map((kind) => ({ kind, ...NO_GO[kind] }));

/** What can be put down with one tap: every kind, and those that usually come in one size or fill a tile of the grid. */
export interface FittingChoice extends NoGoPreset {
  id: string;
  /** Takes the whole of the tile it is put on. */
  fillsTile: boolean;
}

const asKind = NO_GO_PRESETS.map((preset): FittingChoice => ({
  ...preset,
  id: preset.kind,
  fillsTile: false,
}));
const inTile = (["luminaire", "diffuser", "hatch"] as const).map((kind): FittingChoice => ({
  ...NO_GO[kind],
  kind,
  id: `${kind} tile`,
  label: `${NO_GO[kind].label}, filling a tile`,
  hint: "Lies in the grid in place of a tile.",
  // the tiles beside it keep their own distance from their edges
  clearanceMm: 0,
  fillsTile: true,
}));
const DOWNLIGHT_MM = 100;
const downlight: FittingChoice = {
  ...NO_GO.luminaire,
  kind: "luminaire",
  id: "downlight",
  label: `Downlight, ${DOWNLIGHT_MM} mm across`,
  shape: { circle: { radiusMm: DOWNLIGHT_MM / 2 } },
  hint: "Across its trim, not its opening.",
  fillsTile: false,
};

export const FITTING_CHOICES: FittingChoice[] = [...inTile, downlight, ...asKind];
export const fittingChoice = (id: string | null): FittingChoice | undefined =>
  FITTING_CHOICES.find((choice) => choice.id === id);
