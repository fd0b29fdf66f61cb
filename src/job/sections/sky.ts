import { z } from "zod";
import { CONSTELLATIONS } from "../constellations.ts";
import { LIMITS } from "../limits.ts";
import { label, number, positiveMm } from "./common.ts";

export const momentSchema = z.union([
  z.looseObject({
    /** Civil time, `YYYY-MM-DDTHH:MM[:SS]`, no offset. */
    local: z.string().max(40),
    /** IANA zone name. */
    zone: z.string().min(1).max(64),
    /** Which one, where the clock showed this time twice. */
    occurrence: z.enum(["earlier", "later"]).optional(),
    /** Overrides the zone's own offset (minutes east of UTC) where its history is known to be wrong. */
    offsetMin: number(LIMITS.offsetMin).optional(),
  }),
  z.looseObject({ utc: z.string().max(40) }),
]);
export type Moment = z.output<typeof momentSchema>;

export const placeSchema = z.looseObject({
  name: label.default(""),
  latDeg: number(LIMITS.latDeg),
  lonDeg: number(LIMITS.lonDeg),
  elevationM: number(LIMITS.elevationM).default(0),
});
export type Place = z.output<typeof placeSchema>;

export const viewSchema = z.looseObject({
  azimuthDeg: number(LIMITS.turnDeg).default(0),
  altitudeDeg: number(LIMITS.altitudeDeg).default(90),
  /** Turns the picture clockwise on the plan. */
  turnDeg: number(LIMITS.turnDeg).default(0),
});
export type View = z.output<typeof viewSchema>;

export const fieldSchema = z.looseObject({
  /** A star this far from the view centre lands radiusMm from the anchor. */
  halfAngleDeg: number(LIMITS.halfAngleDeg).default(60),
  /** Default: half the diagonal of the outline's bounding box. */
  radiusMm: positiveMm.optional(),
  /** Where the view centre lies on the plan. Default: centre of the outline's bounding box. */
  anchorMm: z.tuple([z.number(), z.number()]).optional(),
});
export type Field = z.output<typeof fieldSchema>;

export const nightSchema = z.looseObject({
  id: z.string().min(1).max(60),
  title: label.default(""),
  place: placeSchema,
  moment: momentSchema,
  view: viewSchema.prefault({}),
  field: fieldSchema.prefault({}),
  refraction: z.boolean().default(true),
  /** Dim stars towards the horizon (Kasten-Young air mass, 0.28 mag each). Usually off. */
  extinction: z.boolean().default(false),
  /** Moon and naked-eye planets take holes too. */
  bodies: z.boolean().default(true),
  /** Constellations that matter to the client, by IAU abbreviation: kept whole first, moved least, given air. */
  figures: z.array(z.enum(CONSTELLATIONS)).max(12).default([]),
});
/** One sky the client may choose. */
export type Night = z.output<typeof nightSchema>;

export const skySchema = z.looseObject({
  chosen: z.string().max(60),
  options: z.array(nightSchema).min(1).max(24),
});
