import { toUm } from "../geometry/um.ts";
import { issuedTiles } from "../issue/packed.ts";
import type { PointUm } from "../geometry/types.ts";
import type { BundlesSection } from "../job/sections/bundles.ts";
import type { Job } from "../job/schema.ts";
import { inBoth, type Warning } from "../job/faults.ts";
import { formatLength, type LengthUnits } from "../job/units.ts";
import { lossMag } from "./strands.ts";
import { portUse, type Supply } from "./supply.ts";
import type { Strand } from "./types.ts";

/** What was given out already: it is no longer shared out. */
export interface Given {
  strands: Strand[];
  /** Ids of their holes. */
  holes: ReadonlySet<number>;
  /** Runs above the grid, by name of the tail. */
  routes: ReadonlyMap<string, PointUm[]>;
}

/** The strands of issued tiles. */
export function givenOut(issued: Job["issued"]): Given {
  const strands: Strand[] = [];
  const routes = new Map<string, PointUm[]>();
  for (const { tile, lossDbPerM, holes, tails } of issuedTiles(issued)) {
    for (const { engine, route } of tails) routes.set(`${engine}-${tile}`, route);
    for (const { hole, run } of holes)
      for (const lengthM of run?.lengthsM ?? [])
        strands.push({
          hole: hole.id,
          tile,
          engine: run!.engine,
          diameterMm: hole.diameterMm,
          lengthM,
          needM: run!.needM,
          lossMag: lossMag(lengthM, lossDbPerM),
          channel: run!.channel,
          wheelDeg: run!.wheelDeg,
        });
  }
  return { strands, holes: new Set(strands.map(({ hole }) => hole)), routes };
}

/** The engines of the job, and those that it no longer has and that light issued tiles. */
export function withIssuedEngines(
  section: BundlesSection,
  issued: Job["issued"],
  { strands }: Given,
): BundlesSection {
  const letters = new Set(section.engines.map(({ letter }) => letter));
  const lighting = new Set(strands.map(({ engine }) => engine));
  const missing = (issued?.engines ?? []).filter(
    ({ letter }) => lighting.has(letter) && !letters.has(letter),
  );
  return missing.length === 0 ? section : { ...section, engines: [...section.engines, ...missing] };
}

/** What given strands leave of a supply: room at the port, and strands of the kit. */
export function lessGiven(supply: Supply, { strands }: Given): Supply {
  const own = strands.filter(({ engine }) => engine === supply.engine.letter);
  if (own.length === 0) return supply;
  const items = new Map(
    [...supply.items].map(([diameterMm, list]) => [diameterMm, list.map((item) => ({ ...item }))]),
  );
  for (const { diameterMm, lengthM } of own) {
    const item = items.get(diameterMm)?.find(({ lengthMm }) => lengthMm === Math.round(lengthM * 1000));
    if (item) item.count = Math.max(0, item.count - 1);
  }
  return {
    ...supply,
    items,
    engine: { ...supply.engine, capacity: Math.max(0, supply.engine.capacity - own.length) },
    port: Math.max(0, supply.port - own.reduce((sum, { diameterMm }) => sum + portUse(diameterMm), 0)),
  };
}

/** Where engines and what was decided about them no longer fit what was issued. */
export function givenWarnings(section: BundlesSection, issued: Job["issued"], { strands }: Given): Warning[] {
  const warnings: Warning[] = [];
  const say = (words: string | ((units: LengthUnits) => string), path: string) => {
    const message =
      typeof words === "string" ? { message: words } : inBoth((units) => ({ message: words(units) }));
    warnings.push({ code: "issued-engine", ...message, path });
  };
  for (const before of issued?.engines ?? []) {
    const now = section.engines.find(({ letter }) => letter === before.letter);
    const own = strands.filter(({ engine }) => engine === before.letter);
    const tiles = [...new Set(own.map(({ tile }) => tile))];
    if (own.length === 0) continue;
    const whose = `engine ${before.letter}, which lights issued ${tiles.length === 1 ? "tile" : "tiles"} ${tiles.join(", ")}`;
    if (!now) {
      say((units) => `HOLD: the job no longer has ${whose}. It is planned where it was, ${before.atMm.map((mm) => formatLength(mm, units)).join(" right, ")} up from the plan's lower left.`, "bundles.engines"); // prettier-ignore
      continue;
    }
    if (toUm(now.atMm[0]) !== toUm(before.atMm[0]) || toUm(now.atMm[1]) !== toUm(before.atMm[1]) || now.heightMm !== before.heightMm) // prettier-ignore
      say(`HOLD: the job now puts ${whose}, elsewhere. Their strands stay as long as they were issued: measure before they are run.`, "bundles.engines"); // prettier-ignore
    if (own.length > now.capacity)
      say(`${own.length} issued strands are more than engine ${before.letter} takes (${now.capacity}).`, "bundles.engines"); // prettier-ignore
  }
  for (const [tile, letter] of Object.entries(section.fixed)) {
    const engines = [...new Set(strands.filter((one) => one.tile === tile).map(({ engine }) => engine))];
    if (engines.length > 0 && engines.join() !== letter)
      say(`Tile ${tile} was issued for engine ${engines.join(", ")}; that it is given to engine ${letter} by hand now changes nothing.`, `bundles.fixed.${tile}`); // prettier-ignore
  }
  return warnings;
}
