import { noShares, holeCostMm, type Group, type Problem, type Shares, type TileNeed } from "./problem.ts";
import { ModelBuilder, UNBOUNDED, type MipModel } from "./solver.ts";

/** An unlit hole weighs as much as a kilometre of it: nothing that can be lit is left dark. */
const UNLIT_COST_MM = 1_000_000;

/** A programme and how to read its answer. */
export interface Programme {
  model: MipModel;
  /** What every solution costs besides: add it to objective and bound. */
  offsetMm: number;
  read(values: Float64Array): Shares;
}

/** Whether an engine may take a tile at all. */
const allowed = (tile: TileNeed, e: number): boolean => tile.fixed < 0 || tile.fixed === e;
const canServe = (tile: TileNeed, group: Group, e: number): boolean =>
  allowed(tile, e) && group.classes[e]! >= 0;

/** Groups that some engine can serve: the others stay dark whatever is done. */
export const servable = (tile: TileNeed): number[] =>
  tile.groups.flatMap((group, g) => (group.classes.some((_, e) => canServe(tile, group, e)) ? [g] : []));

/** Every tile whole with one engine; borders between engines weigh in if asked for, tile counts if given. */
export function wholeModel(
  problem: Problem,
  { borders, tilesPerEngine }: { borders: boolean; tilesPerEngine?: [least: number, most: number] },
): Programme {
  const { tiles, supplies } = problem;
  const build = new ModelBuilder();
  const kept = tiles.map(servable);
  const column = tiles.map((tile, t) =>
    supplies.map((_, e) => {
      const groups = kept[t]!.map((g) => tile.groups[g]!);
      const fits = groups.every((group) => canServe(tile, group, e));
      const cost = groups.reduce((sum, group) => sum + group.members.length * holeCostMm(tile, group, e), 0);
      return build.column(fits ? cost : 0, 0, fits ? 1 : 0, true);
    }),
  );
  tiles.forEach((_, t) => {
    if (kept[t]!.length > 0)
      build.row(
        1,
        1,
        column[t]!.map((c) => [c, 1]),
      );
  });
  const rowsOver = (e: number, limit: number, weight: (group: Group) => number) =>
    build.row(
      -UNBOUNDED,
      limit,
      tiles.flatMap((tile, t): [number, number][] => {
        const sum = kept[t]!.reduce((total, g) => total + weight(tile.groups[g]!), 0);
        return sum > 0 && tile.groups.length > 0 ? [[column[t]![e]!, sum]] : [];
      }),
    );
  limitRows(problem, rowsOver);
  if (tilesPerEngine)
    supplies.forEach((_, e) =>
      build.row(
        tilesPerEngine[0],
        tilesPerEngine[1],
        tiles.flatMap((__, t): [number, number][] => (kept[t]!.length > 0 ? [[column[t]![e]!, 1]] : [])),
      ),
    );
  if (borders)
    for (const [a, b] of problem.borders) {
      if (kept[a]!.length === 0 || kept[b]!.length === 0) continue;
      // The shares that a gives up to b, engine by engine: together 1 where the engines differ.
      supplies.forEach((_, e) => {
        const given = build.column(problem.borderCostMm, 0, 1, false);
        build.row(-UNBOUNDED, 0, [[column[a]![e]!, 1], [column[b]![e]!, -1], [given, -1]]); // prettier-ignore
      });
    }
  return {
    model: build.model(),
    offsetMm: 0,
    read(values) {
      const shares = noShares(problem);
      tiles.forEach((tile, t) => {
        const e = column[t]!.findIndex((c) => values[c]! > 0.5);
        if (e >= 0) for (const g of kept[t]!) shares[t]![g]![e] = tile.groups[g]!.members.length;
      });
      return shares;
    },
  };
}

/**
 * Tiles may have several tails, each beyond the first at a price (if `tails`; without, the programme is a
 * plain transport problem, whose corners split few tiles by themselves), and strands may stay unlit at a
 * very high one, so that there is always an answer; those of `lit` may not: they are lit by brightness.
 * `onlyTails` allows just these tails, and whole strands.
 */
export function splitModel(
  problem: Problem,
  { tails, onlyTails, lit }: { tails: boolean; onlyTails?: Shares | undefined; lit: Shares },
): Programme {
  const { tiles, supplies } = problem;
  const build = new ModelBuilder();
  const thinnest = Math.min(...tiles.flatMap(({ groups }) => groups.map(({ port }) => port)));
  const columns = tiles.map((tile, t) => {
    const groups = servable(tile);
    if (groups.length === 0) return [];
    const serving = supplies.map(
      (_, e) =>
        groups.some((g) => canServe(tile, tile.groups[g]!, e)) &&
        (!onlyTails || onlyTails[t]!.some((group) => group[e]! > 0)),
    );
    const tail = serving.map((can) => (tails && can ? build.column(problem.splitCostMm, 0, 1, true) : -1));
    const own = tile.groups.map((group, g) => {
      if (!groups.includes(g)) return [];
      const holes = group.members.length;
      const columnsOf = supplies.map((_, e) => {
        if (!serving[e] || !canServe(tile, group, e)) return -1;
        const c = build.column(holeCostMm(tile, group, e), 0, holes, onlyTails !== undefined);
        if (tail[e]! >= 0) build.row(-UNBOUNDED, 0, [[c, 1], [tail[e]!, -holes]]); // prettier-ignore
        return c;
      });
      const owed = lit[t]![g]!.reduce((sum, n) => sum + n, 0);
      // By area, so that a full port takes the bright hole rather than the several faint ones in its place.
      const unlitMm = (UNLIT_COST_MM * group.port) / thinnest;
      const unlit = build.column(unlitMm, 0, holes - owed, onlyTails !== undefined);
      build.row(
        holes,
        holes,
        [...columnsOf.filter((c) => c >= 0), unlit].map((c) => [c, 1]),
      );
      return columnsOf;
    });
    const open = tail.filter((c) => c >= 0);
    if (open.length > 0)
      build.row(
        1,
        UNBOUNDED,
        open.map((c) => [c, 1]),
      );
    return own;
  });
  limitRows(problem, (e, limit, weight) =>
    build.row(
      -UNBOUNDED,
      limit,
      tiles.flatMap((tile, t) =>
        columns[t]!.flatMap((own, g): [number, number][] => {
          const one = weight(tile.groups[g]!) / tile.groups[g]!.members.length;
          return own.length > 0 && own[e]! >= 0 && one > 0 ? [[own[e]!, one]] : [];
        }),
      ),
    ),
  );
  const tiled = columns.filter((own) => own.length > 0).length;
  return {
    model: build.model(),
    offsetMm: tails ? -tiled * problem.splitCostMm : 0,
    read(values) {
      const shares = noShares(problem);
      columns.forEach((own, t) =>
        own.forEach((columnsOf, g) =>
          columnsOf.forEach((c, e) => {
            if (c >= 0) shares[t]![g]![e] = values[c]!;
          }),
        ),
      );
      return shares;
    },
  };
}

/** Capacity, port and kit of every engine; `weight` is what a whole group adds to the rule. */
function limitRows(
  { supplies, limits }: Problem,
  add: (e: number, limit: number, weight: (group: Group) => number) => void,
): void {
  supplies.forEach((supply, e) => {
    add(e, supply.engine.capacity, (group) => group.strands * group.members.length);
    add(e, supply.port, (group) => group.port * group.members.length);
    for (const { diameterMm, fromClass, limit } of limits[e]!)
      add(e, limit, (group) =>
        group.diameterMm === diameterMm && group.classes[e]! >= fromClass
          ? group.strands * group.members.length
          : 0,
      );
  });
}
