import { superscript } from "../../src/sky/starNames.ts";
import type { AddedStar, SourceName } from "./sources.ts";

/** Designations that the source has garbled; checked against the gap they leave in its own list. */
const REPAIRED_BAYER: Record<string, string> = { "20535": "υ3" }; // "undefined3"; υ1, υ2, υ4 Eri are there

/** Rows of star number, proper name, Bayer letter, Flamsteed number, constellation, for stars that have one. */
export function nameRows(source: Record<string, SourceName>, added: AddedStar[]) {
  const rows: [number, string, string, string, string][] = [];
  for (const [hip, entry] of Object.entries(source)) {
    const proper = entry.name ?? "";
    const bayer = superscript(REPAIRED_BAYER[hip] ?? entry.bayer ?? "");
    const flamsteed = entry.flam ?? "";
    if (bayer.startsWith("undefined")) throw new Error(`HIP ${hip}: garbled designation ${bayer}`);
    if (proper || bayer || flamsteed) rows.push([Number(hip), proper, bayer, flamsteed, entry.c ?? ""]);
  }
  for (const star of added) rows.push([star.hip, "", superscript(star.bayer), "", star.constellation]);
  return rows.sort((a, b) => a[0] - b[0]);
}

/** One row to a line, so that a change can be read. */
export function namesJson(rows: unknown[][]): string {
  const head = `{"format":"velarium.names","version":1,"columns":["star","proper","bayer","flamsteed","constellation"],"rows":[`;
  return `${head}\n${rows.map((row) => JSON.stringify(row)).join(",\n")}\n]}\n`;
}
