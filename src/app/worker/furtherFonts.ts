import gothic from "@fontsource/biz-udgothic/unicode.json";
import emoji from "@fontsource/noto-emoji/unicode.json";
import type { FurtherId, Pieces } from "../../drawing/further.ts";

/** Which characters are in which file: loaded only where a job needs a further font. */
export const PIECES: Record<FurtherId, Pieces> = { "biz-udgothic": gothic, "noto-emoji": emoji };

const FILES = {
  "biz-udgothic": import.meta.glob<string>("/node_modules/@fontsource/biz-udgothic/files/*-400-normal.woff", {
    eager: true,
    query: "?url",
    import: "default",
  }),
  "noto-emoji": import.meta.glob<string>("/node_modules/@fontsource/noto-emoji/files/*-400-normal.woff", {
    eager: true,
    query: "?url",
    import: "default",
  }),
};

const urlOf = (id: FurtherId) => (piece: string) =>
  FILES[id][`/node_modules/@fontsource/${id}/files/${id}-${piece}-400-normal.woff`]!;

export const URLS: Record<FurtherId, (piece: string) => string> = {
  "biz-udgothic": urlOf("biz-udgothic"),
  "noto-emoji": urlOf("noto-emoji"),
};
