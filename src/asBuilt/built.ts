import { lotsOf } from "../bundles/bundles.ts";
import type { Bundles, Strand } from "../bundles/types.ts";
import type { Tile } from "../ceiling/types.ts";
import { toMm, toUm } from "../geometry/um.ts";
import { moveWords, type LengthUnits } from "../job/units.ts";
import { strungWords, type Strung } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import type { Planned } from "../plan.ts";
import { byTime, type AddedEntry, type Entry } from "../record/entry.ts";
import { inOrder } from "../record/record.ts";
import { byTile, tileState, type HoleState, type TileState } from "../record/state.ts";
import { groupBy } from "../groupBy.ts";

/** Something that is otherwise than it was planned, or waits for a person's word. */
export interface Difference {
  tile: string;
  /** On the tile's sheet. */
  number: number;
  kind: "moved" | "added" | "given up" | "spoilt" | "spare used" | "dead" | "weak" | "undecided";
  /** Of an added hole: the entry that added it, by which the record names the hole. */
  entry?: string;
  /** Strands taken from the spares. */
  spare?: Strung;
  /** "moved 4.2 mm: 3 mm right, 3 mm up on the plan", in the job's units. */
  words: string;
}

/** The holes among them that were added. */
export const addedOf = (differences: readonly Difference[]): Difference[] =>
  differences.filter(({ kind }) => kind === "added");

/** A ceiling as it hangs. */
export interface Built<B = Bundles> {
  plan: Planned;
  bundles: B;
  differences: Difference[];
}

/**
 * What was planned, with what happened: holes moved, added and given up, strands replaced. Where two people say different
 * things of a hole it stays as planned, and is listed. Tiles that nobody told anything of are as planned. The same
 * entries give the same, in whatever order they were heard.
 */
export function asBuilt<B extends Pick<Bundles, "strands" | "tails">>(
  plan: Planned,
  bundles: B,
  entries: readonly Entry[],
): Built<B> {
  const told = byTile(inOrder(entries));
  const { units } = plan.job;
  const differences: Difference[] = [];
  const tiles = new Map(plan.ceiling.tiles.map((tile) => [tile.name, tile]));
  const holesOf = groupBy(plan.pattern.holes, ({ tile }) => tile);
  let id = plan.pattern.holes.reduce((most, hole) => Math.max(most, hole.id), 0);
  const strands = groupBy(bundles.strands, ({ hole }) => hole);

  const built = plan.ceiling.tiles.flatMap(({ name }): Hole[] => {
    const planned = holesOf.get(name) ?? [];
    const own = told.get(name);
    if (!own) return planned;
    const state = tileState(own);
    const stand = planned.flatMap((hole) =>
      holeAsBuilt(hole, state.holes.get(hole.numberInTile), differences, units),
    );
    const first = planned.reduce((most, { numberInTile }) => Math.max(most, numberInTile), 0) + 1;
    const added = addedHoles(tiles.get(name)!, state, first).map((one) => ({
      entry: one.entry,
      hole: { ...one.hole, id: ++id },
    }));
    for (const { entry, hole } of added) {
      const there = `+${hole.numberInTile - first + 1}`;
      differences.push({ tile: name, number: hole.numberInTile, kind: "added", entry, words: `added, ${there} at the bench: ${strungWords(hole)}` }); // prettier-ignore
      strands.set(hole.id, strandsFor(hole, planned, strands));
    }
    const more = added.flatMap(({ entry, hole }) =>
      holeAsBuilt(hole, state.holes.get(entry), differences, units),
    );
    return [...stand, ...more];
  });

  const all = built.flatMap((hole) => (strands.get(hole.id) ?? []).map((strand) => ({ ...strand, diameterMm: hole.diameterMm }))); // prettier-ignore
  const tails = bundles.tails.flatMap((tail) => {
    const lots = lotsOf(all.filter(({ engine, tile }) => engine === tail.engine && tile === tail.tile));
    return lots.length === 0 ? [] : [{ ...tail, lots }];
  });
  return {
    plan: { ...plan, pattern: { ...plan.pattern, holes: built } },
    bundles: { ...bundles, strands: all, tails },
    differences,
  };
}

function holeAsBuilt(
  hole: Hole,
  state: HoleState | undefined,
  differences: Difference[],
  units: LengthUnits,
): Hole[] {
  if (!state) return [hole];
  const say = (kind: Difference["kind"], words: string, spare?: Strung): void =>
    void differences.push({
      tile: hole.tile,
      number: hole.numberInTile,
      kind,
      words,
      ...(spare && { spare }),
    });
  if (state.open) {
    const told = [...state.place, ...state.strand, ...state.doubted].map(({ what, who }) => `${who || "somebody"}: ${what}`); // prettier-ignore
    say(
      "undecided",
      `two say different things (${told.join("; ")}): shown as planned until somebody decides`,
    );
    return [hole];
  }
  const place = state.place[0];
  if (place?.what === "given up") {
    say("given up", "given up: no strand");
    return [];
  }
  if (place?.what === "spoilt") say("spoilt", "spoilt: punch it again, or give it up");
  const moved = place?.what === "moved" ? movedBy(hole, place.byUm) : hole;
  if (place?.what === "moved") say("moved", movedWords(place.byUm, units));
  const strand = state.strand[0];
  if (strand?.what === "dead" || strand?.what === "weak") say(strand.what, `strand ${strand.what}`);
  if (strand?.what !== "replaced") return [moved];
  const replaced = { ...moved, diameterMm: strand.diameterMm };
  const planned = strand.diameterMm === hole.diameterMm ? "" : `, planned ${strungWords(hole)}`;
  say("spare used", `strand replaced: ${strungWords(replaced)}${planned}`, replaced);
  return [replaced];
}

function movedBy(hole: Hole, [dx, dy]: readonly [number, number]): Hole {
  const by = (mm: number, um: number) => toMm(toUm(mm) + um);
  const [xMm, yMm] = [by(hole.xMm, dx), by(hole.yMm, dy)];
  return {
    ...hole,
    xMm,
    yMm,
    tileXMm: by(hole.tileXMm, dx),
    tileYMm: by(hole.tileYMm, dy),
    movedMm: hole.trueXMm === null ? 0 : Math.sqrt((xMm - hole.trueXMm) ** 2 + (yMm - hole.trueYMm!) ** 2),
  };
}

function movedWords([dx, dy]: readonly [number, number], units: LengthUnits): string {
  const far = (um: number): string => moveWords(toMm(Math.abs(um)), units);
  const ways = [
    dx !== 0 && `${far(dx)} ${dx > 0 ? "right" : "left"}`,
    dy !== 0 && `${far(dy)} ${dy > 0 ? "up" : "down"}`,
  ].filter((way) => way !== false);
  return `moved ${far(Math.sqrt(dx * dx + dy * dy))}${ways.length > 0 ? `: ${ways.join(", ")} on the plan` : ""}`;
}

/** In the order in which they were told, numbered after the planned ones; one that is given up leaves its number free. */
function addedHoles(
  tile: Tile,
  { added, holes }: TileState,
  first: number,
): { entry: string; hole: Omit<Hole, "id"> }[] {
  const numbered = byTime(added).map((entry, i) => ({ entry, hole: addedHole(tile, entry, first + i) }));
  const givenUp = ({ id }: AddedEntry) => holes.get(id)?.place.some(({ what }) => what === "given up");
  return numbered.flatMap(({ entry, hole }) => (givenUp(entry) ? [] : [{ entry: entry.id, hole }]));
}

const addedHole = (tile: Tile, entry: AddedEntry, numberInTile: number): Omit<Hole, "id"> => {
  const { diameterMm, strands } = entry;
  const [x, y] = entry.atUm;
  return {
    tile: tile.name,
    numberInTile,
    kind: "filler",
    star: null,
    name: "",
    magnitude: null,
    colourBv: null,
    trueXMm: null,
    trueYMm: null,
    xMm: toMm(tile.box.minX + x),
    yMm: toMm(tile.box.minY + y),
    tileXMm: toMm(x),
    tileYMm: toMm(y),
    diameterMm,
    strands,
    movedMm: 0,
    merged: [],
    byHand: true,
    deeper: false,
    inFigure: false,
  };
};

/** An added hole is fed beside its nearest neighbour, as far as anybody knows. */
function strandsFor(hole: Hole, planned: readonly Hole[], strands: ReadonlyMap<number, Strand[]>): Strand[] {
  const away = (one: Hole) => (one.xMm - hole.xMm) ** 2 + (one.yMm - hole.yMm) ** 2;
  const lit = planned.filter(({ id }) => strands.has(id)).sort((a, b) => away(a) - away(b));
  const beside = lit[0] && strands.get(lit[0].id)![0];
  return beside ? Array.from({ length: hole.strands }, () => ({ ...beside, hole: hole.id, diameterMm: hole.diameterMm })) : []; // prettier-ignore
}
