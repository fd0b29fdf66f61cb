import { z } from "zod";

export const bundlesSchema = z.looseObject({});
