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

/** Gives tiles a use, and one reason where it is said. A tile back at `stars` without a reason leaves the list. */
export function useTiles(job: Job, names: readonly string[], use: TileUse, why = ""): Edit {
  const tiles = { ...job.ceiling.tiles };
  let changed = false;
  for (const name of names) {
    const now = own(tiles, name) ?? { use: "stars" as const, why: "" };
    if (now.use === use && (why === "" || now.why === why)) continue;
    changed = true;
    if (use === "stars" && (why || now.why) === "") delete tiles[name];
    else tiles[name] = { ...now, use, why: why || now.why };
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

const NAME = /^[A-Z]{1,3}[0-9]{1,4}(-[0-9]{1,2})?$/;
const RANGE = /\b([A-Z]{1,3})([0-9]{1,4})\s*(?:-|\u2013|TO)\s*([A-Z]{1,3})([0-9]{1,4})\b/g;

/**
 * Tile names out of typed text such as "C4, d5 e1-2", and ranges such as "D7 to F9": every tile of `known` between the two
 * corners. Null when a word is no tile name.
 */
export function readTileNames(text: string, known: Iterable<string>): string[] | null {
  const found: string[] = [];
  const rest = text
    .toUpperCase()
    .replace(RANGE, (_, rowA: string, columnA: string, rowB: string, columnB: string) => {
      const [top, bottom] = [rowNumber(rowA), rowNumber(rowB)].sort((a, b) => a - b) as [number, number];
      const [left, right] = [Number(columnA), Number(columnB)].sort((a, b) => a - b) as [number, number];
      for (const name of known) {
        const [, letters = "", digits = ""] = /^([A-Z]+)(\d+)/.exec(name) ?? [];
        const [row, column] = [rowNumber(letters), Number(digits)];
        if (row >= top && row <= bottom && column >= left && column <= right) found.push(name);
      }
      return " ";
    });
  const words = rest.split(/[\s,;]+/).filter((word) => word !== "");
  return words.every((word) => NAME.test(word)) ? [...words, ...found] : null;
}

/** Rows are lettered A to Z, then AA and on. */
const rowNumber = (letters: string): number =>
  [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0);

function own(tiles: TileRecord, name: string): TileRecord[string] | undefined {
  return Object.hasOwn(tiles, name) ? tiles[name] : undefined;
}
