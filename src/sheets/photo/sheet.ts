import { partWords, type LengthUnits } from "../../job/units.ts";
import { walkingOrder } from "../../photo/walk.ts";
import { groupBy } from "../../groupBy.ts";
import type { DarkTest, HoleVerdict, PictureReport } from "../../photo/types.ts";
import type { SheetContext } from "../context.ts";
import { PackDocument, TICK, type PackPage } from "../pack/document.ts";

/** A marked picture as it is printed on the sheet; JPEG or PNG. */
export interface PrintedPicture {
  name: string;
  bytes: Uint8Array;
  widthPx: number;
  heightPx: number;
}

/** Work for hands, before what needs another look. */
const WORK = ["dead", "displaced", "dim", "hidden", "unsure"] as const;

/**
 * The sheet that goes up the ladder: what is wrong as a whole first, then strand by strand, tile by tile in walking
 * order, each with a box to tick; then what no picture could tell.
 */
export function darkTestPages(
  context: SheetContext,
  test: DarkTest,
  pictures: readonly PrintedPicture[],
): PackPage[] {
  const doc = new PackDocument(context, "Dark test");
  doc.section("Dark test by photograph");
  summary(doc, test);
  wholeThings(doc, test);
  strands(doc, test);
  strays(doc, test);
  openEnds(doc, test);
  for (const picture of pictures) marked(doc, picture);
  return doc.finish();
}

function summary(doc: PackDocument, { counts, pictures, holes }: DarkTest): void {
  const judged = holes.length - counts["not in the picture"];
  const told = [
    [counts.lit, "lit"],
    [counts.dead, "dead"],
    [counts.dim, "dim"],
    [counts.displaced, "off their place"],
    [counts.hidden, "hidden"],
    [counts.unlit, "unlit as planned"],
    [counts.unsure, "that can't be told"],
  ] as const;
  const words = told.filter(([count]) => count > 0).map(([count, what]) => `${count} ${what}`);
  doc.write(`${judged} of ${holes.length} strands are in the pictures: ${words.join(", ")}.`, 3.4, {
    bold: true,
  });
  doc.table(
    [
      { title: "picture", share: 2 },
      { title: "what it shows", share: 7 },
    ],
    pictures.map((p) => [p.name, pictureWords(p)]),
  );
}

export const pictureWords = ({ words, next }: PictureReport): string =>
  [words, next].filter(Boolean).join(" ");

function wholeThings(doc: PackDocument, test: DarkTest): void {
  const words = [...test.tiles.map((t) => t.words), ...test.dark.map((d) => d.words)];
  if (words.length === 0) return;
  doc.heading("First, what is wrong as a whole");
  for (const sentence of words) doc.tick(sentence, 3.2);
}

/** A way on the plan for somebody who stands facing its top: to the right is +x, ahead is +y. */
export function wayWords({ dxMm, dyMm }: Pick<HoleVerdict, "dxMm" | "dyMm">, units: LengthUnits): string {
  if (dxMm === null || dyMm === null) return "";
  const part = (mm: number, more: string, less: string) =>
    Math.abs(mm) < 0.5 ? "" : `${partWords(Math.round(Math.abs(mm)), units)} ${mm > 0 ? more : less}`;
  return [part(dxMm, "right", "left"), part(dyMm, "ahead", "back")].filter(Boolean).join(", ");
}

function strands(doc: PackDocument, test: DarkTest): void {
  const { ceiling, job } = doc.context.plan;
  const whole = new Set([
    ...test.tiles.flatMap((t) => [t.tile, t.showsTile]),
    ...test.dark.flatMap((d) => d.tiles),
  ]);
  const todo = test.holes.filter(
    (h) => (WORK as readonly string[]).includes(h.verdict) && !(whole.has(h.tile) && (h.verdict === "displaced" || isGrouped(test, h))), // prettier-ignore
  );
  const byTile = groupBy(todo, (h) => h.tile);
  doc.heading("Then strand by strand, in walking order");
  if (todo.length === 0) return doc.write("Nothing else was found.");
  doc.write(
    "Directions are for somebody who stands facing the top of the plan: right, left, ahead, back. A strand that " +
      "is off its place is usually punched there: look at the tile's sheet before anything is pulled.",
  );
  const row = (tile: string, h: HoleVerdict) => [
    tile,
    String(h.numberInTile),
    h.verdict,
    wayWords(h, job.units),
    h.light === null ? "" : `${Math.round(100 * h.light)} %`,
    h.why,
    TICK,
  ];
  doc.table(
    [
      { title: "tile", share: 1, bold: true },
      { title: "no.", share: 1, align: "right", bold: true },
      { title: "verdict", share: 2 },
      { title: "off by", share: 2.4 },
      { title: "light", share: 1.2, align: "right" },
      { title: "why", share: 6 },
      { title: "done", share: 1, align: "centre" },
    ],
    walkingOrder(ceiling.tiles).flatMap(({ name }) =>
      (byTile.get(name) ?? [])
        .sort(
          (a, b) =>
            WORK.indexOf(a.verdict as "dead") - WORK.indexOf(b.verdict as "dead") ||
            a.numberInTile - b.numberInTile,
        ) // prettier-ignore
        .map((h, i) => row(i === 0 ? name : "", h)),
    ),
  );
}

const isGrouped = (test: DarkTest, h: HoleVerdict): boolean =>
  test.dark.some((d) => d.words === h.why) || test.tiles.some((t) => h.why === t.words);

function strays(doc: PackDocument, { strays: lights, pictures }: DarkTest): void {
  if (lights.length === 0) return;
  doc.heading("Lights that are no strand of this plan");
  const byTile = [
    ...groupBy(lights, (s) => `${s.tile ?? "beside the ceiling"}\n${pictures[s.picture]!.name}`),
  ];
  doc.table(
    [
      { title: "where", share: 2 },
      { title: "picture", share: 3 },
      { title: "how many", share: 1, align: "right" },
    ],
    byTile.map(([where, some]) => [...where.split("\n"), String(some.length)]),
  );
}

function openEnds(doc: PackDocument, test: DarkTest): void {
  const missing = groupBy(
    test.holes.filter((h) => h.verdict === "not in the picture"),
    (h) => h.tile,
  );
  if (missing.size === 0) return;
  doc.heading("Not in any picture");
  const words = walkingOrder(doc.context.plan.ceiling.tiles).flatMap(({ name }) => {
    const some = missing.get(name);
    return some ? [`${name} (${some.length})`] : [];
  });
  doc.write(`Take another picture that shows: ${words.join(", ")}.`);
}

function marked(doc: PackDocument, { name, bytes, widthPx, heightPx }: PrintedPicture): void {
  doc.section(name, widthPx > heightPx);
  const { x0, x1, y0, y1 } = doc.room();
  const scale = Math.min((x1 - x0) / widthPx, (y1 - y0) / heightPx);
  doc.add({
    kind: "image",
    layer: "IMAGE",
    at: [x0, y1 - heightPx * scale],
    widthMm: widthPx * scale,
    heightMm: heightPx * scale,
    bytes,
  });
}
