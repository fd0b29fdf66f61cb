import type { Bundles } from "../../bundles/types.ts";
import { wallAbove } from "../bearings.ts";
import { tilesWithHoles } from "../context.ts";
import { BLANK, TICK, type PackDocument } from "./document.ts";

/** On site: tiles down, runs up, tiles back, each with boxes to tick. */
export function installSection(doc: PackDocument, bundles: Bundles): void {
  const { plan } = doc.context;
  doc.section("Install list");
  for (const step of [
    "Photograph each tile in place; write its name and an arrow to the named wall on its back before it comes down.",
    "Sprinklered room: tiles back in every evening, or the building and its insurer are told.",
    "Supports for the runs are in, fixed to the structure; no run touches the grid or its wires.",
    "Engines stand where the route plan says, reached and ventilated; supply, switch and dimmer by a licensed electrician.",
    "Gap between grid and wall is free all round.",
  ])
    doc.tick(step);
  doc.heading("Tiles with stars");
  const tailsOf = new Map<string, string[]>();
  for (const { tile, name } of bundles.tails) tailsOf.set(tile, [...(tailsOf.get(tile) ?? []), name]);
  doc.table(
    [
      { title: "tile", share: 1.2, bold: true },
      { title: "tail", share: 2.2 },
      { title: "arrow to", share: 3 },
      { title: "down", share: 1, align: "centre" },
      { title: "tail on supports", share: 1.8, align: "centre" },
      { title: "tile in", share: 1, align: "centre" },
      { title: "lifts out again", share: 1.6, align: "centre" },
      { title: "snipped", share: 1.2, align: "centre" },
      { title: "initials", share: 1.6 },
    ],
    tilesWithHoles(plan).map(({ tile }) => [
      tile.name,
      (tailsOf.get(tile.name) ?? ["none"]).join(", "),
      wallAbove(plan, tile),
      TICK,
      TICK,
      TICK,
      TICK,
      TICK,
      BLANK,
    ]),
    { leastRowMm: 5.6 },
  );
  const covered = plan.ceiling.tiles.filter(({ use }) => use === "fabric");
  if (covered.length > 0)
    doc.write(`Covered, without strands: ${covered.map(({ name }) => name).join(", ")}.`);
}

/** In the dark: strands lit against strands scheduled, engine by engine, tile by tile. */
export function darkTestSection(doc: PackDocument, bundles: Bundles): void {
  doc.section("Dark-test list");
  doc.write(
    "Ten minutes in the dark first, then one engine at a time, dimmed. Count what shines on each tile, looking up. Nobody looks into a lit port.",
  );
  for (const { letter } of bundles.engines) {
    const tails = bundles.tails.filter((tail) => tail.engine === letter);
    if (tails.length === 0) continue;
    doc.heading(`Engine ${letter}`);
    doc.table(
      [
        { title: "tail", share: 1.6, bold: true },
        { title: "tile", share: 1 },
        { title: "scheduled", share: 1.2, align: "right", bold: true },
        { title: "lit", share: 1.4 },
        { title: "dead or dim: hole numbers", share: 5 },
        { title: "put right", share: 1.2, align: "centre" },
        { title: "photo", share: 1, align: "centre" },
      ],
      tails.map(({ name, tile, lots }) => [
        name,
        tile,
        String(lots.reduce((sum, { count }) => sum + count, 0)),
        BLANK,
        BLANK,
        TICK,
        TICK,
      ]),
      { leastRowMm: 6 },
    );
  }
}
