import { z } from "zod";
import { HOLE_STEPS, TILE_STEPS } from "./entry.ts";

/** In one entry. */
export const MOST_HOLES = 5000;
const text = (most: number) => z.string().max(most);
const id = z.string().regex(/^[0-9a-f]{4,32}-\d{1,9}$/);
const tile = z.string().min(1).max(24);
const hole = z.union([z.int().min(1).max(200_000), id]);
const um = z.int().min(-60_000_000).max(60_000_000);
const ids = z.array(id).max(MOST_HOLES);

const common = {
  /** Of the run (one opening of the studio on one device) and its place in that run: nobody else makes the same. */
  id,
  /** By the clock of the device, milliseconds since 1970. Shown and used for rates; never decides what holds. */
  atMs: z.int().min(-8.64e15).max(8.64e15),
  who: text(60),
  /** What its people call the device. */
  device: text(60),
  /** Of the job, when it happened. */
  revision: z.int().min(1).max(9999),
  note: text(400).optional(),
};
/** What is said of one hole. `knows`: entries about it that whoever says so had before their eyes, settled by this. */
const ofHole = { ...common, tile, hole, knows: ids };

/**
 * One thing that happened, as it was told, never changed again. Entries of a tile name it; `undone` takes back
 * entries of its own tile.
 */
export const entrySchema = z.discriminatedUnion("what", [
  z.strictObject({ ...common, tile, what: z.enum(TILE_STEPS) }),
  z.strictObject({
    ...common,
    tile,
    what: z.enum(HOLE_STEPS),
    holes: z.array(hole).min(1).max(MOST_HOLES),
    /** What was said of these holes (moved, given up ...) and was known when they were ticked. */
    knows: ids.optional(),
  }),
  z.strictObject({ ...ofHole, what: z.literal("spoilt") }),
  z.strictObject({ ...ofHole, what: z.literal("given up") }),
  z.strictObject({ ...ofHole, what: z.literal("as planned") }),
  /** On the plan, seen from above, from where the hole was planned. */
  z.strictObject({ ...ofHole, what: z.literal("moved"), byUm: z.tuple([um, um]) }),
  /** From the datum of the tile, seen from above. */
  z.strictObject({
    ...common,
    tile,
    what: z.literal("added"),
    atUm: z.tuple([um, um]),
    diameterMm: z.number().min(0.1).max(10),
    strands: z.int().min(1).max(7),
  }),
  z.strictObject({ ...ofHole, what: z.enum(["dead", "weak", "lit"]) }),
  /** By a strand kept as a spare, or another one of this thickness. */
  z.strictObject({
    ...ofHole,
    what: z.literal("replaced"),
    diameterMm: z.number().min(0.1).max(10),
  }),
  z.strictObject({ ...common, tile, what: z.literal("lifted") }),
  z.strictObject({ ...common, engine: z.string().min(1).max(8), what: z.literal("engine changed") }),
  z.strictObject({
    ...common,
    /** That of the entries; none for an engine. */
    tile: tile.optional(),
    what: z.literal("undone"),
    of: ids,
    /** Only for these of their holes. */
    holes: z.array(hole).min(1).max(MOST_HOLES).optional(),
  }),
]);
