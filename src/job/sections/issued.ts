import { z } from "zod";
import { engineSchema, engineLetter } from "./bundles.ts";
import { LIMITS } from "../limits.ts";
import { label, number } from "./common.ts";

/** Far more than 5,000 holes on one tile take. */
const MOST_CHARACTERS = 2_000_000;

/** One tile as it was issued; columns and places are packed into text (`src/issue/packed.ts`). */
export const issuedTileSchema = z.looseObject({
  tile: z.string().min(1).max(12),
  row: number(LIMITS.tileRow),
  column: number(LIMITS.tileRow),
  /** Printed on its sheets from then on. */
  revision: number(LIMITS.revision),
  /** The day, as 2031-02-14. */
  on: z.string().regex(/^\d{4}-\d\d-\d\d$/, "a day such as 2031-02-14"),
  /** Title of the sky it shows. */
  sky: label,
  /** Its strands had been exchanged for length: by length they differ from those that the pattern gave. */
  exchanged: z.boolean(),
  /** Light lost along its strands, as reckoned then. */
  lossDbPerM: number(LIMITS.lossDbPerM),
  /** Its edges as surveyed then, on the plan: rings of "x y", whole micrometres. */
  outlineUm: z.string().max(MOST_CHARACTERS),
  holes: z.string().max(MOST_CHARACTERS),
  /** Runs above the grid, from engine to tile. */
  tails: z.array(z.looseObject({ engine: engineLetter, routeUm: z.string().max(MOST_CHARACTERS) })).max(60),
  /** Of all the above; tells when somebody or something changed what was issued. */
  check: z.string().regex(/^[0-9a-f]{8}$/, "eight hexadecimal digits"),
});
export type IssuedEntry = z.output<typeof issuedTileSchema>;

/** What was issued to be punched: from then on it stands, whatever the rest of the job says. null: nothing yet. */
export const issuedSchema = z
  .looseObject({
    tiles: z.array(issuedTileSchema).min(1).max(20_000),
    /** The engines that light these tiles, as they were. */
    engines: z.array(engineSchema).max(60),
  })
  .nullable()
  .default(null);
export type Issued = NonNullable<z.output<typeof issuedSchema>>;
