import type { BundlesSection } from "../job/sections/bundles.ts";
import type { Hole } from "../pattern/types.ts";
import type { Lengths } from "./lengths.ts";
import type { Group, Problem, Shares, TileNeed } from "./problem.ts";
import type { BundleFault, Bundles, Unlit } from "./types.ts";
import { inBoth, wordedIn, type Warning } from "../job/faults.ts";
import { formatLength, metresInWords, type LengthUnits } from "../job/units.ts";
import { groupBy } from "../groupBy.ts";

/** Said where the solver that shares tiles out could not be had. */
export const NO_SOLVER: Warning = {
  code: "no-solver",
  message: "The solver could not be loaded; rules of thumb assigned the tiles.",
};

/** A fault of bundles or takeoff, where it is one warning among others. */
export const asWarning = (fault: BundleFault): Warning => ({
  code: fault.code,
  message: `${fault.got}; expected ${fault.expected}. ${fault.next}`,
  path: fault.path,
});

/** Everything the bundles have to say, for a plan that is printed with them. */
export const bundleWarnings = ({ faults, warnings }: Bundles, units: LengthUnits): Warning[] => [
  ...wordedIn(units, faults).map(asWarning),
  ...wordedIn(units, warnings),
];

/** Letters that two engines share, kits and fixed tiles that name nobody. Such entries change nothing. */
export function nameFaults(section: BundlesSection, tileNames: ReadonlySet<string>): BundleFault[] {
  const letters = section.engines.map(({ letter }) => letter);
  const known = letters.length > 0 ? `one of ${[...new Set(letters)].join(", ")}` : "an engine of this job";
  const fault = (path: string, expected: string, got: string, next: string): BundleFault => ({
    code: "unknown-name",
    path,
    expected,
    got,
    next,
  });
  return [
    ...letters.flatMap((letter, i) =>
      letters.indexOf(letter) < i
        ? [
            fault(
              `bundles.engines[${i}].letter`,
              "a letter that no other engine has",
              letter,
              "Change one of the two.",
            ),
          ]
        : [],
    ),
    ...section.kits.flatMap(({ engine }, i) =>
      letters.includes(engine)
        ? []
        : [fault(`bundles.kits[${i}].engine`, known, engine, "Give the kit to an engine, or remove it.")],
    ),
    ...Object.entries(section.fixed).flatMap(([tile, engine]) => {
      const path = `bundles.fixed.${tile}`;
      if (!letters.includes(engine)) return [fault(path, known, engine, "Choose an engine of this job.")];
      return tileNames.has(tile) ? [] : [fault(path, "a tile with holes", tile, "Remove the entry.")];
    }),
  ];
}

/** Faults of a sharing-out, and the holes that stay dark for them. */
export function unlitHoles(
  problem: Problem,
  shares: Shares,
  lengths: Lengths,
): { unlit: Unlit[]; faults: BundleFault[] } {
  const unlit: Unlit[] = [];
  const tooFar: Short[] = [];
  let noRoom = 0;
  problem.tiles.forEach((tile, t) => {
    const { holes, fansMm } = lengths.tiles[t]!;
    const short: { group: Group; members: number[] }[] = [];
    tile.groups.forEach((group, g) => {
      const lit = shares[t]![g]!.reduce((sum, n) => sum + n, 0);
      if (lit === group.members.length) return;
      const reachable = group.classes.some((c, e) => c >= 0 && (tile.fixed < 0 || tile.fixed === e));
      const dark = darkest(holes, group.members, group.members.length - lit);
      if (reachable) noRoom += dark.length;
      else short.push({ group, members: dark });
      const why = reachable ? "the engines have no room or no such strand left" : "no strand is long enough";
      for (const i of dark) unlit.push({ hole: holes[i]!.id, tile: tile.name, strands: group.strands, why });
    });
    if (short.length > 0) tooFar.push(shortOf(problem, tile, short, fansMm));
  });
  const faults = shortFaults(tooFar);
  if (noRoom > 0) faults.push(roomFault(problem, noRoom));
  return { unlit: unlit.sort((a, b) => a.hole - b.hole), faults };
}

/** The faintest: whoever stays dark is missed least. */
function darkest(holes: readonly Hole[], members: readonly number[], count: number): number[] {
  return [...members]
    .sort((p, q) => (holes[p]!.magnitude ?? Infinity) - (holes[q]!.magnitude ?? Infinity) || p - q || 0)
    .slice(members.length - count);
}

/** Strand that is needed, up to the centimetre or the inch. */
const needed = (mm: number, units: LengthUnits): string =>
  units === "ft-in"
    ? formatLength(Math.ceil(mm / 25.4) * 25.4, units)
    : `${(Math.ceil(mm / 10) / 100).toFixed(2)} m`;
/** Strand as it is sold, up to whole metres or feet. */
const sold = (mm: number, units: LengthUnits): string =>
  units === "ft-in" ? `${Math.ceil(mm / 304.8)}'` : `${Math.ceil(mm / 1000)} m`;

/** A tile's strands that no engine can feed: what the nearest engine has, and what it would take; 0 where there is no way, or no such strand. */
interface Short {
  code: "no-way" | "no-such-strand" | "too-short";
  path: string;
  tile: string;
  strands: number;
  diametersMm: number[];
  letter: string;
  reachM: number;
  needMm: number;
  hasMm: number;
}

function shortOf(
  { supplies }: Problem,
  tile: TileNeed,
  short: { group: Group; members: number[] }[],
  fansMm: readonly number[],
): Short {
  const fan = Math.max(...short.flatMap(({ members }) => members.map((i) => fansMm[i]!)));
  const choices = supplies
    .map((supply, e) => ({ supply, needMm: tile.baseMm[e]! + fan, e }))
    .filter(({ e, needMm }) => (tile.fixed < 0 || tile.fixed === e) && needMm < Infinity);
  const own = {
    path: tile.fixed >= 0 ? `bundles.fixed.${tile.name}` : "bundles.engines",
    tile: tile.name,
    strands: short.reduce((sum, { group, members }) => sum + group.strands * members.length, 0),
    diametersMm: [...new Set(short.map(({ group }) => group.diameterMm))],
  };
  if (choices.length === 0) return { ...own, code: "no-way", letter: "", reachM: 0, needMm: 0, hasMm: 0 };
  // The engine that comes nearest to doing it, and its longest strand of those diameters.
  const longest = (e: number) =>
    Math.min(...short.map(({ group }) => supplies[e]!.items.get(group.diameterMm)?.at(-1)?.lengthMm ?? 0));
  const best = choices.reduce((a, b) => (b.needMm - longest(b.e) < a.needMm - longest(a.e) ? b : a));
  const hasMm = longest(best.e);
  const { letter, reachM } = best.supply.engine;
  return {
    ...own,
    code: hasMm === 0 ? "no-such-strand" : "too-short",
    letter,
    reachM,
    needMm: best.needMm,
    hasMm,
  };
}

/** One fault for all tiles that are short of the same thing at the same engine; the most strands and the worst tile first. */
function shortFaults(all: readonly Short[]): BundleFault[] {
  const groups = groupBy(all, ({ code, path, letter }) => `${code} ${path} ${letter}`);
  const dark = (group: readonly Short[]): number => group.reduce((sum, { strands }) => sum + strands, 0);
  const missing = ({ needMm, hasMm }: Short): number => needMm - hasMm;
  return [...groups.values()]
    .sort((a, b) => dark(b) - dark(a))
    .map((group) => shortFault(group.sort((a, b) => missing(b) - missing(a))));
}

/** Of many tiles so many are named. */
const TILES_NAMED = 12;

function shortFault(group: readonly Short[]): BundleFault {
  const [worst] = group as [Short];
  const { code, path, letter, reachM, needMm, hasMm } = worst;
  const strands = group.reduce((sum, one) => sum + one.strands, 0);
  const tiles = group.slice(0, TILES_NAMED).map(({ tile }) => tile).join(", "); // prettier-ignore
  const more = group.length > TILES_NAMED ? ` and ${group.length - TILES_NAMED} more` : "";
  const named = `${group.length > 1 ? "tiles" : "tile"} ${tiles}${more}`;
  const who = `${strands} strand${strands > 1 ? "s" : ""} of ${named}`;
  if (needMm === 0)
    return {
      code,
      path,
      expected: `a way through the void to ${named}`,
      got: `no way: obstacles or walls close it off for ${who}`,
      next: `Check the void's obstacles and their clearances, or leave ${group.length > 1 ? "the tiles" : "the tile"} without stars.`,
    };
  if (hasMm === 0)
    return {
      code,
      path,
      expected: `strands of ${[...new Set(group.flatMap((one) => one.diametersMm))].join(", ")} mm for ${who}`,
      ...inBoth((units) => ({
        got: `none at engine ${letter}, the nearest one, within its reach of ${metresInWords(reachM, units)}`,
      })),
      next: "Add such strands to a kit, or choose another engine.",
    };
  return {
    code,
    path,
    ...inBoth((units) => ({
      expected: `at least ${needed(needMm, units)} for ${group.length > 1 ? `tile ${worst.tile}, the farthest of ${who}` : who}, from engine ${letter}, the nearest`,
      got: `strands of at most ${metresInWords(hasMm / 1000, units)} (reach ${metresInWords(reachM, units)}): ${needed(needMm - hasMm, units)} too short`,
      next: `Move engine ${letter} nearer, give it strands of ${sold(needMm, units)} and that reach, or add an engine.`,
    })),
  };
}

/** Kits that have enough of a diameter, but not enough long ones, whichever engine lights a hole. */
function longOver({ tiles, supplies }: Problem, diameterMm: number, units: LengthUnits): string[] {
  const items = supplies.flatMap((supply) => supply.items.get(diameterMm) ?? []);
  const shortestFor = (tile: TileNeed, group: Group) =>
    Math.min(
      ...supplies.flatMap((supply, e) => {
        const item = supply.items.get(diameterMm)?.[group.classes[e]!];
        return item && (tile.fixed < 0 || tile.fixed === e) ? [item.lengthMm] : [];
      }),
    );
  const needs = tiles.flatMap((tile) =>
    tile.groups
      .filter((group) => group.diameterMm === diameterMm)
      .map((group) => ({ lengthMm: shortestFor(tile, group), count: group.strands * group.members.length })),
  );
  const lengths = [...new Set(items.map(({ lengthMm }) => lengthMm))].sort((a, b) => a - b);
  return lengths.flatMap((lengthMm) => {
    const sum = (list: { lengthMm: number; count: number }[]) =>
      list.reduce(
        (total, one) => total + (one.lengthMm >= lengthMm && one.lengthMm < Infinity ? one.count : 0),
        0,
      );
    const missing = sum(needs) - sum(items);
    return missing > 0
      ? [
          `${missing} of ${diameterMm} mm and at least ${metresInWords(lengthMm / 1000, units)} more than the kits have`,
        ]
      : [];
  });
}

/** Says which of strands, diameters and ports is over, and by how much. */
function roomFault(problem: Problem, dark: number): BundleFault {
  const { tiles, supplies, limits } = problem;
  const need = new Map<number, number>();
  let port = 0;
  for (const { groups } of tiles)
    for (const group of groups) {
      need.set(group.diameterMm, (need.get(group.diameterMm) ?? 0) + group.strands * group.members.length);
      port += group.port * group.members.length;
    }
  const strands = [...need.values()].reduce((sum, n) => sum + n, 0);
  const got = (units: LengthUnits): string => {
    const over: string[] = [];
    const capacity = supplies.reduce((sum, { engine }) => sum + engine.capacity, 0);
    if (strands > capacity) over.push(`${strands - capacity} strands more than the engines' ${capacity}`);
    for (const [diameterMm, count] of [...need].sort(([a], [b]) => a - b)) {
      const inKits = supplies.reduce((sum, { kit }, e) => {
        const all = limits[e]!.find((limit) => limit.diameterMm === diameterMm && limit.fromClass === 0);
        return sum + (all?.limit ?? (kit ? 0 : Infinity));
      }, 0);
      if (count > inKits) over.push(`${count - inKits} of ${diameterMm} mm more than the kits' ${inKits}`);
      else over.push(...longOver(problem, diameterMm, units));
    }
    const ports = supplies.reduce((sum, supply) => sum + supply.port, 0);
    if (port > ports)
      over.push(`strand ends fill ${Math.ceil((port / ports) * 100)} % of what the ports take`);
    const why =
      over.length > 0 ? over.join("; ") : "lengths, ports and fixed tiles leave no place for them together";
    return `${dark} ${dark === 1 ? "hole" : "holes"} left dark: ${why}`;
  };
  return {
    code: "no-room",
    path: "bundles.engines",
    expected: `a place for each of ${strands} strands`,
    ...inBoth((units) => ({ got: got(units) })),
    next: "Add an engine or strands, take larger ports, or use fewer strands (strands.use).",
  };
}
