import type { Job } from "../../../job/schema.ts";
import type { TileUse } from "../../../job/sections/ceiling.ts";
import { type Edit, withCeiling } from "../edit.ts";

type TileRecord = Job["ceiling"]["tiles"];

export const USE_WORDS: Record<TileUse, string> = {
  stars: "stars",
  fabric: "fabric only",
  plain: "left plain",
};

export function tileUse(job: Job, name: string): TileUse {
  return own(job.ceiling.tiles, name)?.use ?? "stars";
}

/** Gives tiles a use. A tile back at `stars` without a reason leaves the list. */
export function useTiles(job: Job, names: readonly string[], use: TileUse): Edit {
  const tiles = { ...job.ceiling.tiles };
  let changed = false;
  for (const name of names) {
    const now = own(tiles, name) ?? { use: "stars" as const, why: "" };
    if (now.use === use) continue;
    changed = true;
    if (use === "stars" && now.why === "") delete tiles[name];
    else tiles[name] = { ...now, use };
  }
  const what = names.length === 1 ? `tile ${names[0]}` : `${names.length} tiles`;
  return {
    name: `Make ${what} ${USE_WORDS[use]}`,
    job: changed ? withCeiling(job, { tiles }) : job,
    merge: `brush ${use}`,
  };
}

/** Why a tile is left out, for the next technician. */
export function explainTile(job: Job, name: string, why: string): Edit {
  const now = own(job.ceiling.tiles, name) ?? { use: "stars" as const, why: "" };
  const tiles = { ...job.ceiling.tiles, [name]: { ...now, why: why.trim() } };
  return { name: `Say why tile ${name} is ${USE_WORDS[now.use]}`, job: withCeiling(job, { tiles }) };
}

/** Drops tiles that the ceiling no longer has (after another grid or outline). */
export function forgetTiles(job: Job, names: readonly string[]): Edit {
  const tiles = { ...job.ceiling.tiles };
  for (const name of names) delete tiles[name];
  return {
    name: `Forget ${names.length === 1 ? `tile ${names[0]}` : "tiles"}`,
    job: withCeiling(job, { tiles }),
  };
}

/** Tile names out of typed text such as "C4, d5 e1-2"; null when a word is no tile name. */
export function readTileNames(text: string): string[] | null {
  const words = text
    .toUpperCase()
    .split(/[\s,;]+/)
    .filter((w) => w !== "");
  return words.every((w) => /^[A-Z]{1,3}[0-9]{1,4}(-[0-9]{1,2})?$/.test(w)) ? words : null;
}

function own(tiles: TileRecord, name: string): TileRecord[string] | undefined {
  return Object.hasOwn(tiles, name) ? tiles[name] : undefined;
}
