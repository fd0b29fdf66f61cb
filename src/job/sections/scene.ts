import { z } from "zod";
import { LIMITS } from "../limits.ts";
import { label, number, pointMm, positiveMm } from "./common.ts";
import { FACTS } from "../../trade/facts.ts";

/** Somebody in the room, looking at the ceiling. */
export const seatSchema = z.looseObject({
  name: label.default(""),
  /** Where the person sits or stands, on the plan. */
  atMm: pointMm,
  /** Eye above the floor. */
  eyeMm: positiveMm.default(FACTS.seatedEyeMm.value),
  /** The spot of the ceiling in the middle of the view. Default: where the ceiling fills the picture. */
  lookAtMm: pointMm.optional(),
  /** Width of the view. */
  fieldDeg: number(LIMITS.fieldDeg).default(90),
});
export type SeatEntry = z.output<typeof seatSchema>;

export const sceneSchema = z.looseObject({
  /** Places to judge the sky from. None = three of our own: middle, a wall, a corner. */
  seats: z.array(seatSchema).max(40).default([]),
  /** Light of the engines, 0 to 1. */
  dimmer: number(LIMITS.share).default(FACTS.dimmer.value),
  /** Colour each star by its B-V, as separate engines or filters would; one port gives one colour. */
  tint: z.boolean().default(true),
  /** How strand ends were cut: square and flush-cut clean, or snipped roughly, at chance angles. */
  ends: z.enum(["square", "snipped"]).default("snipped"),
  /** Strand length taken where no bundle tells it. */
  lengthM: number(LIMITS.metres).default(FACTS.usualStrandM.value),
  twinkle: z
    .looseObject({
      /** Part of the strands that fade. */
      share: number(LIMITS.share).default(FACTS.twinkleShare.value),
      /** Channels, or tracks of the wheel: strands of one channel fade together. */
      channels: number(LIMITS.sceneChannels).default(6),
      /** One turn of the wheel; every fade repeats after it. */
      turnS: number(LIMITS.turnS).default(20),
      /** Light taken away at the bottom of a fade, 0 to 1. */
      depth: number(LIMITS.share).default(0.7),
    })
    .prefault({}),
});
