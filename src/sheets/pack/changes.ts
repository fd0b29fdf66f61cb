import type { PackDocument } from "./document.ts";

export interface TileChange {
  tile: string;
  /** What differs: "tile", "around" (things in its way), "holes", "strands", "engine", "lengths", "channels", "gone", "new". */
  why: string[];
}

/** What a change of the job makes stale. */
export interface Changes {
  fromRevision: number;
  /** The revision that the changed job must carry; the same as before where nothing printed differs. */
  revision: number;
  /** The changed job does not carry it yet. */
  notRaised: boolean;
  tiles: TileChange[];
  /** Facts on every page that differ: title, sky, no-go zones, walls. */
  general: string[];
  /** Printed things that must not be used any more, by file. */
  stale: string[];
}

/** A page that says what changed since the last printed revision. */
export function changesSection(doc: PackDocument, changes: Changes): void {
  doc.section(`Changes since revision ${changes.fromRevision}`);
  if (changes.tiles.length === 0 && changes.general.length === 0) {
    doc.write("Nothing that is printed differs.");
    return;
  }
  if (changes.notRaised)
    doc.write(
      `The job still carries the old revision: write revision ${changes.revision} into it before printing.`,
      3.2,
      { bold: true },
    );
  if (changes.general.length > 0) doc.write(`Changed throughout: ${changes.general.join("; ")}.`);
  if (changes.stale.length > 0) {
    doc.heading("Take these out of the binder");
    for (const words of changes.stale) doc.tick(words);
  }
  if (changes.tiles.length > 0) {
    doc.heading("Tiles affected");
    doc.table(
      [
        { title: "tile", share: 1, bold: true },
        { title: "what differs", share: 5 },
      ],
      changes.tiles.map(({ tile, why }) => [tile, why.join(", ")]),
    );
  }
}
