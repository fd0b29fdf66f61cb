import type { Part } from "../../stage/part.ts";
import BenchScreen from "./BenchScreen.svelte";

/** What was done is ticked where it is done: tile by tile, hole by hole, on a screen of its own. */
export const benchPart: Part = { id: "bench", sections: [], whole: BenchScreen };
