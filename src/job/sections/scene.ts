import { z } from "zod";

export const sceneSchema = z.looseObject({});
