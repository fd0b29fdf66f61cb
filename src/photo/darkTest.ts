import { UM_PER_MM } from "../geometry/um.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { BENCH_LIMITS, CEILING_LIMITS, judgePlaces, type JudgeLimits, type Reading } from "./judge.ts";
import { fitLens, lensThrough, toPlan, type Lens } from "./lens.ts";
import { Atlas, growPlacing, locate, type Placing } from "./locate.ts";
import { Near } from "./near.ts";
import { readLight, type Light, type Picture } from "./picture.ts";
import type { StrandEnd, View } from "./places.ts";
import { isHopeless, sayBetter, sayFound, sayNotFound, tellsNothing } from "./say.ts";
import { broadLights, findSpots, type PictureSpot, type Sighting } from "./spots.ts";
import { moveWords, type LengthUnits } from "../job/units.ts";
import { findExchanged } from "./tiles.ts";
import { darkGroups, hiddenPlaces, type TailOf } from "./together.ts";
import { VERDICTS, type DarkTest, type HoleVerdict, type PictureReport, type Stray, type TileFinding, type Verdict } from "./types.ts"; // prettier-ignore

/** Four places of the picture, in pixels, with the places of the plan (seen from above, mm) they show. */
export interface Corner {
  xPx: number;
  yPx: number;
  xMm: number;
  yMm: number;
}

export interface DarkTestInput {
  ceiling: Ceiling;
  /** In the order of Hole.id. */
  places: readonly StrandEnd[];
  view: View;
  /** The plan mirrored: to know a mirrored picture. */
  mirrored: readonly StrandEnd[];
  tailOf: TailOf;
  /** Holes that no engine lights as planned, and why. */
  unlit: ReadonlyMap<number, string>;
  /** On the bench holes are judged to 1 mm. */
  bench: boolean;
  /** In what its words tell lengths. */
  units: LengthUnits;
}

export interface Progress {
  /** What is being done, and how far it is, 0 to 1. */
  tell?: (words: string, share: number) => void;
}

/** A picture worked out. */
interface Shot {
  report: PictureReport;
  readings: Reading[];
  tiles: TileFinding[];
  strays: Stray[];
  lens: Lens | null;
  /** Where its spots are. */
  spots: readonly { xPx: number; yPx: number }[];
}

/** Compares pictures with a plan one after the other, so that only one is in memory, and joins what they say. */
export class DarkTester {
  private readonly input: DarkTestInput;
  private readonly atlas: Atlas;
  private mirrored: Atlas | null = null;
  private readonly shots: Shot[] = [];

  constructor(input: DarkTestInput) {
    this.input = input;
    this.atlas = new Atlas(input.places);
  }

  /** Takes a picture in, or one anew; `corners` place the plan where it can't be found without. */
  add(
    picture: Picture | (Light & { name: string }),
    corners: readonly Corner[] | null,
    { tell }: Progress = {},
    at: number = this.shots.length,
  ): PictureReport {
    tell?.("Looking for lights", 0.05);
    const sighting = findSpots("light" in picture ? picture : readLight(picture));
    tell?.("Looking for the plan among them", 0.3);
    const placing = corners
      ? this.placeBy(corners, sighting)
      : this.input.bench || !isHopeless(sighting)
        ? locate(this.atlas, sighting, {
            onProgress: (s) => tell?.("Looking for the plan among them", 0.3 + 0.4 * s),
          })
        : null;
    const { name, widthPx, heightPx } = picture;
    const about = { name, widthPx, heightPx, spots: sighting.spots.length, spotSigmaPx: sighting.sigmaPx };
    if (!placing || tellsNothing(sighting, placing)) {
      tell?.("Looking why it can't be found", 0.75);
      const why = sayNotFound(sighting, { corners: corners !== null, bench: this.input.bench }, () =>
        this.isMirrored(sighting, (s) => tell?.("Looking why it can't be found", 0.75 + 0.2 * s)),
      );
      const report = { ...about, placing: null, agree: 0, ...why };
      const none = this.input.places.map((): Reading => NOT_SEEN);
      this.shots[at] = { report, readings: none, tiles: [], strays: [], lens: null, spots: [] };
      return report;
    }
    tell?.("Judging each strand", 0.75);
    const judged = this.judge(sighting, placing, at);
    const { expected, lights, sigmaPx, sigmaMm, log10Chance } = placing;
    const report = {
      ...about,
      placing: { expected, lights, sigmaPx, sigmaMm, log10Chance },
      agree: placing.matches.length,
      words: sayFound(placing),
      next: this.input.bench
        ? ""
        : sayBetter(
            sighting,
            offShare(
              judged.readings,
              judged.tiles.map((t) => t.words),
            ),
          ),
    };
    const spots = sighting.spots.map(({ xPx, yPx }) => ({ xPx, yPx }));
    this.shots[at] = { report, ...judged, lens: placing.lens, spots };
    return report;
  }

  /** Where a place of the plan is in a picture; null where it was not found in it. */
  lens(picture: number): Lens | null {
    return this.shots[picture]?.lens ?? null;
  }

  /** What one picture says of a hole, for marks on it. */
  reading(picture: number, holeIndex: number): Reading | undefined {
    return this.shots[picture]?.readings[holeIndex];
  }

  /** A spot of a picture that has a part in a verdict. */
  spot(picture: number, index: number): { xPx: number; yPx: number } | undefined {
    return this.shots[picture]?.spots[index];
  }

  /** A place of the plan as seen from the camera's side. */
  seen(xMm: number, yMm: number): { xMm: number; yMm: number } {
    return this.input.view.seen(xMm, yMm);
  }

  /** What all pictures together say. */
  result(): DarkTest {
    const { places, view, tailOf } = this.input;
    const holes = places.map(({ hole }, i): HoleVerdict => {
      const { reading, picture } = this.best(i);
      const way = reading.wayMm && view.planWay(...reading.wayMm);
      return {
        hole: hole.id,
        tile: hole.tile,
        numberInTile: hole.numberInTile,
        verdict: reading.verdict,
        dxMm: way ? way.xMm : null,
        dyMm: way ? way.yMm : null,
        light: reading.light,
        saturated: reading.saturated,
        why: reading.verdict === "not in the picture" ? "" : reading.why,
        picture: reading.verdict === "not in the picture" ? null : picture,
      };
    });
    const dark = darkGroups(places, holes.map((h) => h.verdict), tailOf); // prettier-ignore
    for (const group of dark) this.nameGroup(holes, group.name, group.kind, group.words);
    const tiles = new Map<string, TileFinding>();
    for (const finding of this.shots.flatMap((s) => s.tiles)) {
      const known = tiles.get(finding.tile);
      if (!known || finding.log10Chance < known.log10Chance) tiles.set(finding.tile, finding);
    }
    const counts = Object.fromEntries(VERDICTS.map((v) => [v, 0])) as Record<Verdict, number>;
    for (const { verdict } of holes) counts[verdict]++;
    return {
      pictures: this.shots.map((s) => s.report),
      holes,
      tiles: [...tiles.values()],
      dark,
      // in a tile that hangs wrong, as another picture tells, they are its own lights
      strays: this.shots.flatMap((shot) =>
        shot.strays.filter(
          ({ tile }) => tile === null || !tiles.has(tile) || shot.tiles.some((t) => t.tile === tile),
        ),
      ),
      counts,
    };
  }

  /** The picture that says most of a hole: light seen beats dark, and of two dark ones the nearer view. */
  private best(i: number): { reading: Reading; picture: number } {
    let best = { reading: NOT_SEEN, picture: 0 };
    this.shots.forEach(({ readings }, picture) => {
      const reading = readings[i]!;
      const [a, b] = [RANK[reading.verdict], RANK[best.reading.verdict]];
      if (a > b || (a === b && reading.pxPerMm > best.reading.pxPerMm)) best = { reading, picture };
    });
    return best;
  }

  private nameGroup(holes: HoleVerdict[], name: string, kind: string, words: string): void {
    this.input.places.forEach(({ hole }, i) => {
      const tail = this.input.tailOf(hole.id);
      const belongs =
        kind === "tail"
          ? tail?.name === name
          : kind === "engine"
            ? tail?.engine === name
            : hole.tile === name;
      const own = holes[i]!;
      if (!belongs || !["dead", "hidden", "unsure"].includes(own.verdict)) return;
      own.verdict = "dead";
      own.why = words;
    });
  }

  private judge(
    sighting: Sighting,
    placing: Placing,
    picture: number,
  ): Omit<Shot, "report" | "lens" | "spots"> {
    const { ceiling, places, view, tailOf, bench, units } = this.input;
    const limits: JudgeLimits = bench ? BENCH_LIMITS : CEILING_LIMITS;
    const { readings, left } = judgePlaces(places, sighting, placing, limits);
    for (const reading of readings)
      if (reading.verdict === "displaced" && reading.wayMm)
        reading.why = `its light is ${moveWords(Math.hypot(...reading.wayMm), units)} off its place`;
    const { findings, explained } = bench
      ? { findings: [], explained: new Set<number>() }
      : findExchanged({ tiles: ceiling.tiles, places, readings, sighting, placing, view, units });
    this.tellUnlit(readings);
    const verdicts = readings.map((r) => r.verdict);
    const groups = darkGroups(places, verdicts, tailOf);
    const near = new Near(
      places.map((p) => p.xMm),
      places.map((p) => p.yMm),
    );
    const spacing = (i: number) => {
      const { xMm, yMm } = places[i]!;
      for (let radius = 60; radius < 1000; radius *= 2) {
        const round = near.within(xMm, yMm, radius);
        if (round.length > 4) return near.distance(round[4]!, xMm, yMm);
      }
      return 200;
    };
    const inGroup = (i: number) => groups.some((g) => g.tiles.includes(places[i]!.hole.tile));
    for (const i of hiddenPlaces(places, verdicts, near, spacing, inGroup)) {
      readings[i]!.verdict = "hidden";
      readings[i]!.why = "dark together with all its neighbours: something seems to hang in front";
    }
    return { readings, tiles: findings, strays: this.strays(sighting, placing, left, explained, picture) };
  }

  /** Holes that the plan leaves without an engine are no work for the ladder; a light in one is worth a word. */
  private tellUnlit(readings: readonly Reading[]): void {
    this.input.places.forEach(({ hole }, i) => {
      const why = this.input.unlit.get(hole.id);
      const reading = readings[i]!;
      if (why === undefined || reading.verdict === "not in the picture") return;
      if (reading.spot >= 0) {
        reading.why = [reading.why, "lit, though no engine lights it as planned"].filter(Boolean).join("; ");
        return;
      }
      reading.verdict = "unlit";
      reading.why = `no engine lights it, as planned: ${why}`;
    });
  }

  private strays(
    sighting: Sighting,
    { lens }: Placing,
    left: readonly number[],
    explained: ReadonlySet<number>,
    picture: number,
  ): Stray[] {
    const { ceiling, view } = this.input;
    const lights = [
      ...left
        .filter((s) => !explained.has(s))
        .map((s) => sighting.spots[s]!)
        .filter((spot) => spot.significance > LEAST_STRAY),
      ...sighting.wide.filter((w) => w.clipped || w.significance > 20),
    ];
    const broad = new Set(broadLights(sighting));
    // a lamp or a sign is seen in pieces, each as large as an area may grow: the brightest of them is named
    const isPiece = (spot: PictureSpot) =>
      broad.has(spot) &&
      lights.some((other) => broad.has(other) && other.flux > spot.flux && isBeside(spot, other));
    return lights
      .filter((spot) => !isPiece(spot))
      .map((spot) => {
        const seen = toPlan(lens, spot.xPx, spot.yPx);
        const at = seen && view.plan(seen.xMm, seen.yMm);
        const tile = at && ceiling.tiles.find(({ box }) => at.xMm * UM_PER_MM >= box.minX && at.xMm * UM_PER_MM <= box.maxX && at.yMm * UM_PER_MM >= box.minY && at.yMm * UM_PER_MM <= box.maxY); // prettier-ignore
        const wide = broad.has(spot);
        const what = wide ? "a lamp, a sign or a reflection" : "a lamp of some device, or a reflection";
        const where = tile ? `in ${tile.name}` : "beside the ceiling";
        return {
          picture,
          xPx: spot.xPx,
          yPx: spot.yPx,
          xMm: at?.xMm ?? null,
          yMm: at?.yMm ?? null,
          tile: tile?.name ?? null,
          words: `A light ${where} that is no strand of this plan: ${what}.`,
        };
      });
  }

  /** From corners tapped by hand: the homography through them, grown and proven like any other. */
  private placeBy(corners: readonly Corner[], sighting: Sighting): Placing | null {
    const { view, places } = this.input;
    const pairs = corners.map(({ xPx, yPx, xMm, yMm }) => ({ xPx, yPx, ...view.seen(xMm, yMm) }));
    const middle = (key: "xMm" | "yMm") => pairs.reduce((sum, p) => sum + p[key], 0) / pairs.length;
    const originMm = [middle("xMm"), middle("yMm")] as const;
    const unitMm = Math.max(...pairs.map((p) => Math.hypot(p.xMm - originMm[0], p.yMm - originMm[1])));
    const first = lensThrough(sighting.light, { originMm, unitMm }, pairs);
    if (!first || places.length === 0) return null;
    const { lens } = fitLens(first, pairs, "perspective");
    const acrossPx = Math.hypot(lens.widthPx, lens.heightPx);
    for (const look of CORNER_LOOKS)
      for (const share of CORNER_SHARES) {
        const placing = growPlacing(this.atlas, sighting, lens, share * acrossPx, undefined, look);
        if (placing) return placing;
      }
    return null;
  }

  private isMirrored(sighting: Sighting, onProgress: (share: number) => void): boolean {
    this.mirrored ??= new Atlas(this.input.mirrored);
    return locate(this.mirrored, sighting, { onProgress }) !== null;
  }
}

/** Share of the lights that are off their places one by one, not with their tile. */
function offShare(readings: readonly Reading[], told: readonly string[]): number {
  const seen = readings.filter((r) => r.spot >= 0 && !told.includes(r.why));
  return seen.filter((r) => r.verdict === "displaced").length / Math.max(1, seen.length);
}

/** Pieces of one broad light lie within so many widths of each other. */
const PIECE_WIDTHS = 3;
const isBeside = (a: PictureSpot, b: PictureSpot): boolean =>
  Math.hypot(a.xPx - b.xPx, a.yPx - b.yPx) < PIECE_WIDTHS * b.sigmaPx;

/** Fainter ones are as often noise: millions of pixels reach five standard deviations now and then. */
const LEAST_STRAY = 8;

/**
 * A tapped corner may be off by this part of the picture's diagonal. Where lights stand close a wide look takes wrong
 * ones, where the hand shook a narrow one none: each is tried, and only what is beyond chance is taken.
 */
const CORNER_SHARES = [0.006, 0.003, 0.0015, 0.01];
/** Places looked at first, round the middle: corners place the whole room at once, and few strands may be lit. */
const CORNER_LOOKS = [14, 60, 200];

const NOT_SEEN: Reading = {
  verdict: "not in the picture",
  xPx: -1,
  yPx: -1,
  wayMm: null,
  light: null,
  saturated: false,
  why: "",
  spot: -1,
  pxPerMm: 0,
};

/** Which of two pictures is believed of a strand. */
const RANK: Record<Verdict, number> = {
  lit: 6,
  displaced: 5,
  dim: 4,
  dead: 3,
  unlit: 3,
  hidden: 2,
  unsure: 1,
  "not in the picture": 0,
};
