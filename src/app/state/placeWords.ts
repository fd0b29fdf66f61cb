import { fromWallsWords } from "../../ceiling/fromWalls.ts";
import type { PointMm } from "../../geometry/types.ts";
import { studio } from "./studio.svelte.ts";

/** A place on the plan as the papers tell it: "4' 9" from bar wall, 2' 8" from harbour wall". */
export const placeWords = (place: PointMm): string => fromWallsWords(studio.walls, place, studio.job.units);
