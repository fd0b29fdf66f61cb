import { z } from "zod";
import { NO_GO_KINDS } from "../noGoKinds.ts";
import { FACTS } from "../../trade/facts.ts";
import { LIMITS } from "../limits.ts";
import { label, nonNegativeMm, number, pointMm, positiveMm } from "./common.ts";

export const BEARING_FROM = ["not-measured", "given", "needle", "shadow", "drawing"] as const;
export type BearingFrom = (typeof BEARING_FROM)[number];

export const TILE_USES = ["stars", "fabric", "plain"] as const;
export type TileUse = (typeof TILE_USES)[number];

/** What whoever looks after a thing has answered. "agreed" counts with name, day and words; with less it is open. */
export const agreementSchema = z.looseObject({
  answer: z.enum(["open", "agreed", "refused"]).default("open"),
  who: label.default(""),
  /** The day of the answer, YYYY-MM-DD. */
  on: z
    .string()
    .regex(/^(\d{4}-\d{2}-\d{2})?$/, "a day as 2031-02-14, or nothing")
    .default(""),
  words: z.string().max(500).default(""),
});
export type Agreement = z.output<typeof agreementSchema>;

/** Exactly one of circle, polygonMm, rectangle (checked by readJob). */
export const noGoSchema = z.looseObject({
  kind: z.enum(NO_GO_KINDS),
  name: label.default(""),
  circle: z.looseObject({ centreMm: pointMm, radiusMm: positiveMm }).optional(),
  polygonMm: z.array(pointMm).min(3).max(500).optional(),
  /** Lower left corner and size, turned clockwise about its centre. */
  rectangle: z
    .looseObject({
      cornerMm: pointMm,
      sizeMm: z.tuple([positiveMm, positiveMm]),
      turnDeg: number(LIMITS.turnDeg).default(0),
    })
    .optional(),
  /** Kept clear round the shape, on top of it. */
  clearanceMm: nonNegativeMm.default(0),
  /** Who decides about it; naming one asks for an answer. */
  owner: label.default(""),
  agreement: agreementSchema.prefault({}),
});
export type NoGo = z.output<typeof noGoSchema>;

export const gridSchema = z.looseObject({
  /** Centre to centre of tees, along X and along Y. */
  moduleMm: z.tuple([positiveMm, positiveMm]),
  /** A tee crossing on the plan, or "balanced": opposite borders equal and more than half a tile. */
  originMm: z.union([pointMm, z.literal("balanced")]).default("balanced"),
  /** As measured; left out: not measured, and ASSUMED_MM stands in. So are the next two. */
  teeFaceMm: positiveMm.optional(),
  /** Real size of a full tile as measured, null for a side that is not. Default: module less 6.35 mm (inch modules) or 5 mm (metric). */
  tileMm: z.tuple([positiveMm.nullable(), positiveMm.nullable()]).optional(),
  thicknessMm: positiveMm.optional(),
  /** Face of the wall angle a border tile rests on. */
  wallAngleMm: nonNegativeMm.optional(),
  /** No hole nearer than this to the tile's edge. Default: half the tee face + 5 mm. */
  edgeKeepOutMm: nonNegativeMm.optional(),
});

export const ceilingSchema = z.looseObject({
  /** Room outline on the plan: simple polygon, first point not repeated, either way round. */
  outlineMm: z.array(pointMm).min(3).max(200),
  /** Names of the walls: wall i runs from outline point i to the next. Missing names become "wall 1"... */
  walls: z.array(label).max(200).default([]),
  /** Floor to ceiling, as measured; left out: not measured, and the next stands in. */
  heightMm: positiveMm.optional(),
  /** A new job in feet starts from whole feet. */
  assumedHeightMm: positiveMm.default(FACTS.ceilingHeightMm.value),
  /** Free height above the grid; null = not measured. */
  voidMm: positiveMm.nullable().default(null),
  /** True compass bearing of the plan's +Y. */
  bearingDeg: number(LIMITS.turnDeg).default(0),
  /** How the bearing was found; until somebody measured, it is only assumed. */
  bearingFrom: z.enum(BEARING_FROM).default("not-measured"),
  /** Present when the bearing was read off a magnetic compass: the declination (east positive) that was added. */
  magneticDeclinationDeg: number(LIMITS.declinationDeg).optional(),
  grid: gridSchema,
  tiles: z
    .record(
      z.string().max(12),
      z.looseObject({ use: z.enum(TILE_USES).default("stars"), why: label.default("") }),
    )
    .default({}),
  noGo: z.array(noGoSchema).max(2000).default([]),
  /** Stop-or-go answers of the survey; each picks the cautions that fit. */
  survey: z
    .looseObject({
      returnAirVoid: z.enum(["unknown", "yes", "no"]).default("unknown"),
      fireRated: z.enum(["unknown", "yes", "no"]).default("unknown"),
      sprinklered: z.enum(["unknown", "yes", "no"]).default("unknown"),
      builtYear: number(LIMITS.builtYear).nullable().default(null),
    })
    .prefault({}),
});
