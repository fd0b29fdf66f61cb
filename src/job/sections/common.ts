import { z } from "zod";
import { LOGO_HEAD, LONGEST_LOGO, readLogo } from "../logo.ts";
import { LIMITS, type Limit } from "../limits.ts";

/** A number within its bounds. */
export function number({ min, max, whole, above }: Limit): z.ZodNumber {
  const kind = whole ? z.int() : z.number();
  return (above ? kind.gt(min) : kind.min(min)).max(max);
}

export const lengthMm = number(LIMITS.lengthMm);
export const positiveMm = number(LIMITS.sizeMm);
export const nonNegativeMm = number(LIMITS.distanceMm);
export const pointMm = z.tuple([lengthMm, lengthMm]);
export const logo = z
  .string()
  .max(LONGEST_LOGO)
  .refine((text) => text === "" || readLogo(text) !== null, `a JPEG picture as ${LOGO_HEAD}...`)
  .default("");
export const label = z.string().max(200);
