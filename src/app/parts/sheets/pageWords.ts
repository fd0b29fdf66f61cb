import { SIDE_WORDS } from "../../../ceiling/flip.ts";
import type { PageEntry } from "./worker/api.ts";

/** "Tile C4, BACK (read from above), sheet 2 of 4": the page in words. */
export function pageWords({ title, side, part }: Pick<PageEntry, "title" | "side" | "part">): string {
  const flag = side ? `${SIDE_WORDS[side].flag} (${SIDE_WORDS[side].read})` : "";
  return [title, flag, part].filter((words) => words !== "").join(", ");
}
