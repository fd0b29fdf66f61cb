import type { z } from "zod";
import type { entrySchema } from "./entrySchema.ts";

/** What is done to a hole, one after the other. */
export const HOLE_STEPS = ["punched", "threaded", "glued"] as const;
/** What is done to a tile as a whole, before and after its holes; in the order of the work. */
export const TILE_STEPS = [
  "taken down",
  "covered",
  "taped",
  "labelled",
  "plugged",
  "tested",
  "hung",
  "snipped",
] as const;
/** All steps of a tile in the order of the work. */
export const STEPS = [
  "taken down",
  "covered",
  "taped",
  "punched",
  "threaded",
  "glued",
  "labelled",
  "plugged",
  "tested",
  "hung",
  "snipped",
] as const;
export type HoleStep = (typeof HOLE_STEPS)[number];
export type TileStep = (typeof TILE_STEPS)[number];
export type Step = (typeof STEPS)[number];

/** A hole of the plan by its number in the tile, or one added at the bench by the id of the entry that added it. */
export type HoleRef = number | string;

export type Entry = z.output<typeof entrySchema>;
/** What may be said of where a hole is, and of its strand: each of the two is one question with one answer. */
export const PLACE_WORDS = ["spoilt", "given up", "as planned", "moved"] as const;
export const STRAND_WORDS = ["dead", "weak", "lit", "replaced"] as const;
export type PlaceEntry = Extract<Entry, { what: (typeof PLACE_WORDS)[number] }>;
export type StrandEntry = Extract<Entry, { what: (typeof STRAND_WORDS)[number] }>;
export type TickEntry = Extract<Entry, { what: HoleStep }>;
export type AddedEntry = Extract<Entry, { what: "added" }>;

const among = <T extends string>(words: readonly T[], word: string): word is T =>
  (words as readonly string[]).includes(word);
export const isHoleStep = (what: string): what is HoleStep => among(HOLE_STEPS, what);
export const isTileStep = (what: string): what is TileStep => among(TILE_STEPS, what);
export const isPlaceEntry = (entry: Entry): entry is PlaceEntry => among(PLACE_WORDS, entry.what);
export const isStrandEntry = (entry: Entry): entry is StrandEntry => among(STRAND_WORDS, entry.what);
export const isTick = (entry: Entry): entry is TickEntry => isHoleStep(entry.what);

/** Whether it says something of a hole or its strand that papers as built may show; ticks alone say nothing. */
export const tellsOtherwise = (entry: Entry): boolean =>
  isPlaceEntry(entry) || isStrandEntry(entry) || entry.what === "added" || entry.what === "undone";

/** Run and number of an entry's id. */
export function idParts({ id }: Pick<Entry, "id">): { run: string; n: number } {
  const cut = id.lastIndexOf("-");
  return { run: id.slice(0, cut), n: Number(id.slice(cut + 1)) };
}

/** As the clocks of their devices had it; entries of one instant by their ids. */
export const byTime = <T extends Entry>(entries: readonly T[]): T[] =>
  [...entries].sort((a, b) => a.atMs - b.atMs || (a.id < b.id ? -1 : 1));

/** The same entry gives the same text, whatever the order of its keys. */
export function entryText(entry: Entry): string {
  return JSON.stringify(entry, ENTRY_KEYS);
}
/** Every key of an entry, in the order in which it is written. */
export const ENTRY_KEYS = [
  ...["id", "atMs", "who", "device", "revision", "what", "tile", "engine", "hole", "holes"],
  ...["byUm", "atUm", "diameterMm", "strands", "of", "knows", "note"],
];
