import { z } from "zod";
import { LIMITS } from "../limits.ts";
import { label, nonNegativeMm, number, pointMm, positiveMm } from "./common.ts";
import { ENGINE_DEFAULTS } from "./engineDefaults.ts";
import { FACTS } from "../../trade/facts.ts";

/** Engines are called by one or two capitals, short enough for a tag: A, B, ... AA. */
export const engineLetter = z.string().regex(/^[A-Z]{1,2}$/, "one or two capital letters");

const metres = number(LIMITS.metres);
const diameterMm = number(LIMITS.diameterMm);

/** Where an engine stands; "above-ceiling" is hard-wired. Plug-and-cord engines may not stand above the ceiling (NEC 400.12). */
export const ENGINE_PLACES = ["cabinet", "closet", "rack", "above-ceiling"] as const;

export const engineSchema = z.looseObject({
  letter: engineLetter,
  name: label.default(""),
  /** On the plan. */
  atMm: pointMm,
  place: z.enum(ENGINE_PLACES).default("closet"),
  /** Height of the port above the floor; null = at the height of the bundle runs. */
  heightMm: nonNegativeMm.nullable().default(null),
  /** Inner diameter of the port. */
  portDiameterMm: positiveMm.default(ENGINE_DEFAULTS.portDiameterMm),
  /** Strands it takes at most, whatever their thickness. */
  capacity: number(LIMITS.engineStrands).default(ENGINE_DEFAULTS.capacity),
  /** What it draws, off its plate; null = not given. */
  watts: number(LIMITS.watts).nullable().default(null),
  /** Longest strand it is meant to feed. */
  reachM: number(LIMITS.strandM).default(ENGINE_DEFAULTS.reachM),
});
export type EngineEntry = z.output<typeof engineSchema>;

/** Strands that come cut and belong to one engine. An engine without a kit is fed from reels. */
export const kitSchema = z.looseObject({
  engine: engineLetter,
  strands: z
    .array(
      z.looseObject({
        diameterMm,
        count: number(LIMITS.kitCount),
        lengthM: number(LIMITS.strandM),
      }),
    )
    .min(1)
    .max(40),
});

/** Something in the void that bundles go round: a duct, a beam, a tank. */
export const voidObstacleSchema = z.looseObject({
  name: label.default(""),
  polygonMm: z.array(pointMm).min(3).max(100),
  /** Kept free beside it. */
  clearanceMm: nonNegativeMm.default(50),
  /** Its underside above the back of the tiles; 0 = as low as the tiles. Higher than the runs: they pass beneath. */
  undersideMm: nonNegativeMm.default(0),
});

/** From holes to engines: where the light comes from and how the strands get there. */
export const bundlesSchema = z.looseObject({
  engines: z.array(engineSchema).max(60).default([]),
  kits: z.array(kitSchema).max(60).default([]),
  /** Tiles that a person gave to an engine. */
  fixed: z.record(z.string().max(12), engineLetter).default({}),
  mode: z.enum(["least-length", "equal-parts"]).default("least-length"),
  obstacles: z.array(voidObstacleSchema).max(200).default([]),
  /** How far the building reaches on the plan; null = the room and a cabinet's depth round it. */
  buildingMm: z.array(pointMm).min(3).max(200).nullable().default(null),
  /** Height of the bundle runs above the back of the tiles. */
  riseM: metres.default(FACTS.riseM.value),
  /** So that a tile can come down with its tail on. */
  tileSlackM: metres.default(FACTS.tileSlackM.value),
  /** For each end of a strand. */
  endAllowanceM: metres.default(FACTS.endAllowanceM.value),
  /** Smallest bend radius over strand diameter. */
  bendFactor: number(LIMITS.bendFactor).default(FACTS.bendFactor.value),
  /** Share of the port that hand packing fills. */
  portFill: number(LIMITS.portFill).default(FACTS.portFill.value),
  /** Lengths that strands from reels are cut to (2 to 5 m: common practice, no source; longer ones ours). */
  cutLengthsM: z.array(number(LIMITS.strandM)).min(1).max(40).default([2, 3, 4, 5, 6, 8, 10, 12]),
  /** Runs are hung from supports of their own this far apart. */
  supportEveryM: number(LIMITS.supportEveryM).default(FACTS.supportEveryM.value),
  /** What a second tail on a tile, and a border between two engines, weigh against metres of strand. Ours. */
  splitCostM: metres.default(20),
  borderCostM: metres.default(1),
  /** Twinkle by channels of the engine or by the angle on its wheel; spread by chance, never by tile. */
  twinkle: z
    .looseObject({
      kind: z.enum(["none", "wheel", "channels"]).default("none"),
      channels: number(LIMITS.channels).default(4),
      /** Among the holes of each tile, or, in jobs until version 7, among all of an engine's. */
      dealt: z.enum(["tile", "engine"]).default("tile"),
    })
    .prefault({}),
  /** Let longer strands be thicker where the stock allows; bends "no fainter star thicker" (see compensate.ts). */
  compensateLength: z.boolean().default(false),
  timeLimitS: number(LIMITS.timeLimitS).default(20),
  labels: z
    .looseObject({
      /** Code of a label sheet in src/bundles/labelStock.ts. */
      sheet: z.string().max(80).default("A4-63.5x38.1"),
      /** Moves the print on the sheet, for printers that feed askew. */
      shiftMm: z.tuple([number(LIMITS.labelShiftMm), number(LIMITS.labelShiftMm)]).default([0, 0]),
      /** Places already used on the first sheet. */
      skip: number(LIMITS.labelsUsed).default(0),
    })
    .prefault({}),
});
export type BundlesSection = z.output<typeof bundlesSchema>;
