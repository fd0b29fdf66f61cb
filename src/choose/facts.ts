import type { Warning } from "../job/faults.ts";
import type { LikeSky } from "../pattern/likenessWords.ts";
import type { LostStar } from "../pattern/types.ts";
import type { Planned } from "../plan.ts";
import { lightOf } from "../pattern/light.ts";
import { icrsOf } from "../sky/frame.ts";
import { milkyWayLevel } from "../sky/milkyWay.ts";
import { starSeenAt } from "../sky/project.ts";
import { toDirection } from "../sky/projection.ts";
import type { BodyName, Catalog } from "../sky/types.ts";
import { rowOfStar } from "../sky/catalog.ts";
import { altitudeDegOf } from "../sky/trig.ts";
import { judgingSeat, standingWords } from "./standing.ts";
import { standingOf } from "./standingScore.ts";
import { passOf } from "./words.ts";
import { usableMap } from "./usableMap.ts";
import { sampleCeiling } from "./score.ts";
import { FACTS } from "../trade/facts.ts";

const [SLOW_PER_H, FAST_PER_H] = FACTS.pokeHolesPerH.range;
/** A lost star is named down to this magnitude. */
const BRIGHT = 3;
/** The Milky Way counts as seen from this level of 255. */
const SEEN_LEVEL = 40;
/** A figure is on the ceiling when this part of its stars has a hole. */
const ON_CEILING = 0.6;
const MOST_TOLD = 4;
const FOR_CLIENTS: ReadonlySet<Warning["code"]> = new Set([
  "figure-drowned",
  "figure-not-whole",
  "pinned-far",
  "edges-show",
  "spread-unnatural",
  "ladder-uneven",
]);

export interface BodyFact {
  name: BodyName;
  altitudeDeg: number;
  magnitude: number;
  lit: number;
  onCeiling: boolean;
}

/** What decides between nights, measured from a settled plan. */
export interface NightFacts {
  title: string;
  place: string;
  localIso: string;
  utcIso: string;
  zone: string;
  sunAltitudeDeg: number;
  /** Which pass of an hour that the clock showed twice: "first", "second"; else "". */
  pass: "" | "first" | "second";
  /** Figures on the ceiling, the highest in the sky first. */
  overhead: string[];
  /** How they stand for somebody at the judging seat, in words: "Orion over the bar wall, upright". */
  standing: string[];
  /** The Moon and planets over the horizon, brightest first. */
  bodies: BodyFact[];
  /** Part of the usable ceiling that the Milky Way crosses, 0 to 1. */
  milkyWayShare: number;
  /** Bright stars of this sky that have no hole, brightest first: lost to fittings or tees. */
  lostBright: LostStar[];
  /** Bright stars that somebody left out by hand, brightest first. */
  omittedBright: LostStar[];
  /** How like the sky the ceiling is. */
  like: LikeSky;
  /** What of the warnings a client should know before choosing: a constellation hard to recognise, edges that show. */
  warnings: string[];
  lightKept: number;
  figuresWhole: number;
  figuresOnCeiling: number;
  holes: number;
  stars: number;
  filler: number;
  faintest: number | null;
  strands: { diameterMm: number; count: number }[];
  punchingHours: { from: number; to: number };
  tiles: number;
}

/** `figures` are told first, those that matter to the client; walls and uprightness are judged from `seatMm`. */
export function nightFacts(
  plan: Planned,
  catalog: Catalog,
  figures: readonly string[] = namesOf(plan.night.figures, catalog),
  seatMm = judgingSeat(plan.job.scene.seats, plan.ceiling),
): NightFacts {
  const { frame, pattern, night } = plan;
  const { fidelity, holes } = pattern;
  const named = new Set(
    holes.filter((h) => h.kind === "moon" || h.kind === "planet").map((h) => h.name.toLowerCase()),
  );
  const counts = new Map<number, number>();
  for (const { diameterMm, strands } of holes)
    counts.set(diameterMm, (counts.get(diameterMm) ?? 0) + strands);
  const without = pattern.lost
    .filter((s) => s.magnitude <= BRIGHT && s.reason !== "merged")
    .sort((a, b) => a.magnitude - b.magnitude);
  const shown = figuresShown(plan, catalog);
  const byHand = (s: LostStar): boolean => s.reason === "left out by hand";
  return {
    title: night.title || night.id,
    place: night.place.name || `${night.place.latDeg.toFixed(2)}, ${night.place.lonDeg.toFixed(2)}`,
    localIso: frame.instant.localIso,
    utcIso: frame.instant.utcIso,
    zone: frame.instant.zone,
    sunAltitudeDeg: frame.sun.altitudeDeg,
    pass: passOf(night.moment),
    overhead: [...shown]
      .sort((a, b) => b.altitude - a.altitude || (a.name < b.name ? -1 : 1))
      .slice(0, MOST_TOLD)
      .map((f) => f.name),
    standing: [...new Set([...figures, ...brightestOf(shown)])]
      .flatMap((name) => standingOf(name, seatMm, plan, catalog) ?? [])
      .map((one) => standingWords(one, plan.ceiling.walls)),
    bodies: frame.bodies
      .filter((b) => b.altitudeDeg > 0)
      .map((b) => ({
        name: b.name as BodyName,
        altitudeDeg: b.altitudeDeg,
        magnitude: b.magnitude,
        lit: b.lit,
        onCeiling: named.has(b.name),
      }))
      .sort((a, b) => a.magnitude - b.magnitude),
    milkyWayShare: milkyWayShare(plan, catalog),
    lostBright: without.filter((s) => !byHand(s)),
    omittedBright: without.filter(byHand),
    like: { leading: fidelity.leading, likeness: fidelity.likeness, moves: fidelity.moves },
    warnings: plan.warnings.filter(({ code }) => FOR_CLIENTS.has(code)).map(({ message }) => message),
    lightKept: fidelity.lightKept,
    figuresWhole: fidelity.figures.whole,
    figuresOnCeiling: fidelity.figures.onCeiling,
    holes: holes.length,
    stars: fidelity.stars,
    filler: fidelity.filler,
    faintest: fidelity.faintestMagnitude,
    strands: [...counts]
      .map(([diameterMm, count]) => ({ diameterMm, count }))
      .sort((a, b) => b.diameterMm - a.diameterMm),
    punchingHours: { from: holes.length / FAST_PER_H, to: holes.length / SLOW_PER_H },
    tiles: new Set(holes.map((h) => h.tile)).size,
  };
}

function namesOf(abbreviations: readonly string[], { figures }: Pick<Catalog, "figures">): string[] {
  return abbreviations.flatMap((one) => figures.find((figure) => figure.abbreviation === one)?.name ?? []);
}

interface Shown {
  name: string;
  altitude: number;
  light: number;
}

/** The figures that have most of their stars on the ceiling: how high in the sky, and the light of their stars. */
function figuresShown({ pattern, frame }: Planned, catalog: Catalog): Shown[] {
  const placed = new Set<number>();
  for (const hole of pattern.holes) {
    if (hole.star !== null) placed.add(hole.star);
    for (const what of hole.merged) if (typeof what === "number") placed.add(what);
  }
  const found: Shown[] = [];
  for (const figure of catalog.figures) {
    const stars = [...new Set(figure.lines.flat())];
    const kept = stars.filter((hip) => placed.has(hip)).length;
    if (stars.length < 2 || kept < ON_CEILING * stars.length) continue;
    let light = 0;
    let sum: [number, number, number] = [0, 0, 0];
    for (const hip of stars) {
      const row = rowOfStar(catalog.stars, hip);
      if (row < 0) continue;
      light += lightOf(catalog.stars.magnitudeCenti[row]! * 10);
      const [x, y, z] = starSeenAt(catalog.stars, frame, row);
      sum = [sum[0] + x, sum[1] + y, sum[2] + z];
    }
    found.push({ name: figure.name, altitude: altitudeDegOf(...sum), light });
  }
  return found;
}

/** The figures that people find first. */
function brightestOf(shown: readonly Shown[]): string[] {
  const byLight = [...shown].sort((a, b) => b.light - a.light || (a.name < b.name ? -1 : 1));
  return byLight.slice(0, MOST_TOLD).map((f) => f.name);
}

function milkyWayShare({ ceiling, projection, frame }: Planned, catalog: Catalog): number {
  const sample = sampleCeiling(usableMap(ceiling), [0, 0], 800);
  let crossed = 0;
  for (let i = 0; i < sample.x.length; i++) {
    const direction = toDirection(projection, Math.round(sample.x[i]!), Math.round(sample.y[i]!));
    if (direction[2] <= 0) continue;
    if (milkyWayLevel(catalog.milkyWay, ...icrsOf(frame, direction)) >= SEEN_LEVEL) crossed++;
  }
  return sample.x.length === 0 ? 0 : crossed / sample.x.length;
}
