import { z } from "zod";

/** The largest room side taken, in millimetres: keeps exact arithmetic exact (see geometry/types.ts). */
export const MAX_LENGTH_MM = 60_000;

export const lengthMm = z.number().min(-MAX_LENGTH_MM).max(MAX_LENGTH_MM);
export const positiveMm = z.number().positive().max(MAX_LENGTH_MM);
export const nonNegativeMm = z.number().min(0).max(MAX_LENGTH_MM);
export const pointMm = z.tuple([lengthMm, lengthMm]);
export const label = z.string().max(200);
