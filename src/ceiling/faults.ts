import { inBoth, type Fault } from "../job/faults.ts";
import { areaWords, partWords } from "../job/units.ts";
import type { Job } from "../job/schema.ts";
import { workOut } from "./ceiling.ts";
import { shapeFaults } from "./shapeFaults.ts";
import type { Ceiling } from "./types.ts";

type Section = Job["ceiling"];

/**
 * Everything wrong with a ceiling section that only geometry can know, all at once, with paths from the
 * job's top. First what stands in the way of working the ceiling out, then what comes of it: no tiles, names
 * of tiles that aren't there, no usable area. Where only zones are at fault, the rest is looked at without them.
 * Who has the ceiling worked out already, or wants it too, gives a `workedOut` that remembers.
 */
export function ceilingFaults(section: Section, workedOut = workOut): Fault[] {
  const faults = shapeFaults(section);
  if (faults.some(({ path }) => !path.startsWith("ceiling.noGo"))) return faults;
  const sound = faults.length ? { ...section, noGo: [] } : section;
  return [...faults, ...resultFaults(sound, workedOut(sound))];
}

function resultFaults(section: Section, ceiling: Ceiling): Fault[] {
  const { tiles } = ceiling;
  const first = tiles[0];
  const last = tiles[tiles.length - 1];
  if (!first || !last)
    return [
      {
        path: "ceiling.grid",
        expected: "at least one tile inside the outline",
        got: "no piece wide enough to be a tile",
        next: "Check outline, module and grid origin.",
      },
    ];
  const names = new Set(tiles.map((tile) => tile.name));
  const faults = Object.keys(section.tiles)
    .filter((name) => !names.has(name))
    .map((name): Fault => ({
      path: `ceiling.tiles.${name}`,
      expected: `a tile of this ceiling, ${first.name} (top left) to ${last.name}`,
      got: `'${name}'`,
      next: "Rows are lettered from the top of the plan, columns numbered from the left, seen from above.",
    }));
  return ceiling.usableMm2 > 0 ? faults : [...faults, nothingUsable(section, ceiling)];
}

/** Says which of zones, uses or grid leaves no usable area. */
function nothingUsable(section: Section, ceiling: Ceiling): Fault {
  const expected = "some area that can take holes";
  const got = "none left";
  if (ceiling.tiles.every((tile) => tile.use !== "stars"))
    return { path: "ceiling.tiles", expected, got, next: "Give at least one tile the use `stars`." };
  if (workOut({ ...section, noGo: [] }).usableMm2 > 0) {
    const zones = `${got}: the no-go zones cover all of it`;
    return { path: "ceiling.noGo", expected, got: zones, next: "Check the zones' sizes and clearances." };
  }
  const { edgeKeepOutMm, tileMm } = ceiling.grid;
  return {
    path: "ceiling.grid",
    expected,
    ...inBoth((units) => ({
      got: `${got}: holes keep ${partWords(edgeKeepOutMm, units)} from the edges of tiles of ${tileMm.map((mm) => partWords(mm, units)).join(" × ")}, in a room of ${areaWords(ceiling.areaMm2 / 1e6, units)}`,
    })),
    next: "Check module, tile size, wall angle and edge distance.",
  };
}
