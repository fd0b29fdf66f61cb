import { dot } from "../sky/linear.ts";
import { toDirection } from "../sky/projection.ts";
import type { Catalog, Projection } from "../sky/types.ts";
import { toMm, toUm } from "../geometry/um.ts";
import { Fate } from "./fate.ts";
import { lightOf } from "./light.ts";
import type { Scale } from "./ladder.ts";
import { leading, orderTies, stepError } from "./leading.ts";
import type { Account } from "./lost.ts";
import type { Likeness } from "./likeness.ts";
import type { SkyObjects } from "./objects.ts";
import { drowned } from "./recognise.ts";
import type { Room } from "./room.ts";
import type { Settlement } from "./settlement.ts";
import type { Fidelity, Hole } from "./types.ts";

/** Shares, statistics, degrees and millimetres are given to this many steps a unit. */
const STEPS = 1e6;
const rounded = (value: number) => Math.round(value * STEPS) / STEPS;

const mean = (values: number[]) => (values.length ? values.reduce((s, v) => s + v, 0) / values.length : 0);
const most = (values: number[]) => values.reduce((m, v) => Math.max(m, v), 0);

/** Measures how like the sky the holes are; every figure is worked out from the finished holes. */
export function measureFidelity({
  holes,
  settlement: s,
  account,
  catalog,
  projection,
  scale,
  likeness,
}: {
  holes: Hole[];
  settlement: Settlement;
  account: Account;
  catalog: Catalog;
  projection: Projection;
  scale: Scale;
  likeness: Likeness;
}): Fidelity {
  const { objects, room } = s.input;
  const real = holes.filter((h) => h.kind !== "filler");
  const scaled = real.filter((h) => !h.deeper);
  const faintest = account.faintest < 0 ? null : objects.magnitudeMilli[account.faintest]! / 1000;
  return {
    stars: real.length,
    deeper: real.length - scaled.length,
    filler: holes.length - real.length,
    moved: real.filter((h) => h.movedMm > 0).length,
    lost: account.lost.filter((l) => l.reason !== "merged").length,
    merged: account.joined.size,
    moves: movesByBrightness(real, projection),
    lightKept: lightKept(scaled, objects, account),
    figures: figuresKept(s, account, catalog),
    mattering: mattering(s, account, catalog),
    drowned: drowned(holes, catalog.figures, s.input.figures),
    gaveAir: account.lost.filter((l) => l.reason === "gives air to a constellation").length,
    likeness: {
      edgeExcess: rounded(likeness.edgeExcess),
      nearestNeighbour: rounded(likeness.nearestNeighbour),
      band: likeness.band === null ? null : rounded(likeness.band),
    },
    orderTies: rounded(orderTies(scaled)),
    stepErrorMag: rounded(stepError(scaled, scale)),
    lightExponent: scale.exponent,
    leading: [10, 20, 30].map((of) => ({ of, among: rounded(leading(real, account.lost, of)) })),
    perTile: evennessOf(holes, room),
    faintestMagnitude: faintest,
  };
}

function movesByBrightness(real: Hole[], projection: Projection): Fidelity["moves"] {
  const bands = new Map<number, Hole[]>();
  for (const hole of real) {
    const from = Math.floor(hole.magnitude!);
    const band = bands.get(from);
    if (band) band.push(hole);
    else bands.set(from, [hole]);
  }
  return [...bands]
    .sort(([p], [q]) => p - q)
    .map(([from, band]) => {
      const mm = band.map((h) => h.movedMm);
      const deg = band.map((h) => movedDeg(h, projection));
      return {
        from,
        to: from + 1,
        count: band.length,
        moved: mm.filter((d) => d > 0).length,
        meanMm: rounded(mean(mm)),
        maxMm: rounded(most(mm)),
        meanDeg: rounded(mean(deg)),
        maxDeg: rounded(most(deg)),
      };
    });
}

/** Angle on the sky between where a star is and where its hole shows it, by the chord (exact near 0). */
function movedDeg(hole: Hole, projection: Projection): number {
  if (hole.movedMm === 0) return 0;
  const truth = toDirection(projection, toUm(hole.trueXMm!), toUm(hole.trueYMm!));
  const shown = toDirection(projection, toUm(hole.xMm), toUm(hole.yMm));
  const chord: [number, number, number] = [truth[0] - shown[0], truth[1] - shown[1], truth[2] - shown[2]];
  return (2 * Math.asin(Math.min(1, Math.sqrt(dot(chord, chord)) / 2)) * 180) / Math.PI;
}

function lightKept(real: Hole[], objects: SkyObjects, { faintest, joined }: Account): number {
  let all = 0;
  for (let i = 0; i < objects.count; i++)
    if (i <= faintest || joined.has(i)) all += lightOf(objects.magnitudeMilli[i]!);
  const kept = real.reduce((sum, h) => sum + lightOf(Math.round(h.magnitude! * 1000)), 0);
  return all > 0 ? Math.min(1, rounded(kept / all)) : 1;
}

function figuresKept(s: Settlement, account: Account, catalog: Catalog): Fidelity["figures"] {
  const { objects } = s.input;
  const onCeiling = new Map<number, boolean>();
  for (let i = 0; i < objects.count; i++)
    if (objects.inFigure[i])
      onCeiling.set(objects.hip[i]!, s.fate[i] === Fate.placed || account.joined.has(i));
  const whole = catalog.figures.filter(({ lines }) => lines.flat().every((hip) => onCeiling.has(hip)));
  const broken = whole.filter(({ lines }) => !lines.flat().every((hip) => onCeiling.get(hip)));
  return {
    onCeiling: whole.length,
    whole: whole.length - broken.length,
    broken: broken.map((f) => f.abbreviation),
  };
}

/** How the constellations that matter fared: of their stars on the ceiling how many are kept, and how far those moved. */
function mattering(s: Settlement, account: Account, catalog: Catalog): Fidelity["mattering"] {
  const { objects } = s.input;
  const index = new Map(s.mattering.map((i) => [objects.hip[i]!, i]));
  return s.input.figures.map((abbreviation) => {
    const figure = catalog.figures.find((f) => f.abbreviation === abbreviation);
    const stars = [...new Set(figure?.lines.flat())].flatMap((hip) => index.get(hip) ?? []);
    const placed = stars.filter((i) => s.fate[i] === Fate.placed);
    const moves = placed.map((i) => toMm(s.moveOf(i)));
    const kept = placed.length + stars.filter((i) => account.joined.has(i)).length;
    return {
      abbreviation,
      onCeiling: stars.length,
      kept,
      meanMm: rounded(mean(moves)),
      maxMm: rounded(most(moves)),
    };
  });
}

function evennessOf(holes: Hole[], room: Room): Fidelity["perTile"] {
  const counts = new Map(room.tiles.map(({ tile }) => [tile.name, 0]));
  for (const h of holes) counts.set(h.tile, (counts.get(h.tile) ?? 0) + 1);
  const values = [...counts.values()];
  if (!values.length) return { least: 0, mean: 0, most: 0, variation: 0 };
  const average = mean(values);
  const deviation = Math.sqrt(mean(values.map((n) => (n - average) ** 2)));
  return {
    least: values.reduce((m, n) => Math.min(m, n), Infinity),
    mean: rounded(average),
    most: most(values),
    variation: average > 0 ? rounded(deviation / average) : 0,
  };
}
