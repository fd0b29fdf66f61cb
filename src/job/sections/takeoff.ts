import { z } from "zod";

export const takeoffSchema = z.looseObject({});
