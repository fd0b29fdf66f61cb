import { areaMm2, boxesTouch, boxOf, intersect } from "../geometry/area.ts";
import { toMm } from "../geometry/um.ts";
import { ceilingHeightMm } from "../job/assumed.ts";
import type { Warning } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import { formatLength, partWords, ruleMm, type LengthUnits } from "../job/units.ts";
import { borderWalls } from "./fromWalls.ts";
import { holdsOf } from "./holds.ts";
import { MODULE_PRESETS } from "./presets.ts";
import { SLIVER_MM } from "./tiles.ts";
import type { Ceiling } from "./types.ts";
import { zoneName } from "./zones.ts";
import { FACTS } from "../trade/facts.ts";

type Section = Job["ceiling"];

/** Two modules nearer than this to one another are easily taken for one another (610 for 24 in). */
const NEAR_MODULE_MM = 2;

/** What a person should know about a surveyed ceiling; every rule is a shop rule unless it says otherwise. */
export function ceilingWarnings(
  { ceiling: section, units }: Pick<Job, "ceiling" | "units">,
  ceiling: Ceiling,
): Warning[] {
  return [
    ...bearingWarnings(section),
    ...unmeasuredWarnings(section, ceiling, units),
    ...liftWarnings(section, units),
    ...gridWarnings(section, ceiling, units),
    ...outlineWarnings(section, ceiling, units),
    ...tileWarnings(ceiling, units),
    ...zoneWarnings(ceiling),
    ...holdWarnings(ceiling),
  ];
}

function bearingWarnings({ bearingFrom, bearingDeg }: Section): Warning[] {
  if (bearingFrom !== "not-measured") return [];
  return [
    {
      code: "bearing-not-measured",
      message: `Nobody has measured which way the room lies; ${bearingDeg}° is assumed for the plan's top, and the whole sky turns with it. Take a bearing before the client signs.`,
      path: "ceiling.bearingDeg",
    },
  ];
}

/** Sizes of the room that nobody has measured, each with what stands in for it: one warning, as long as any is left. */
function unmeasuredWarnings(section: Section, { grid }: Ceiling, units: LengthUnits): Warning[] {
  const open = (
    [
      ["height", section.heightMm, [ceilingHeightMm(section)]],
      ["face of the tees", section.grid.teeFaceMm, [grid.teeFaceMm]],
      ["wall angle", section.grid.wallAngleMm, [grid.wallAngleMm]],
      ["size of a tile", wholly(section.grid.tileMm), grid.tileMm],
      ["thickness of a tile", section.grid.thicknessMm, [grid.thicknessMm]],
    ] as const
  ).filter(([, measured]) => measured === undefined);
  if (open.length === 0) return [];
  const assumed = open.map(
    ([what, , mm]) =>
      `${what} (${mm.map((one) => (mm.length > 1 ? partWords : formatLength)(one, units)).join(" × ")} assumed)`,
  );
  return [
    {
      code: "size-not-measured",
      message: `Not measured: ${assumed.join(", ")}. Pictures, strands that come up from an engine, edges of the holes and cut fabric follow these: measure before anything is cut or punched.`,
      path: "ceiling.grid",
    },
  ];
}

/** A tile's size where both sides are measured. */
const wholly = (tileMm: Section["grid"]["tileMm"]): unknown => (tileMm?.includes(null) ? undefined : tileMm);

function liftWarnings({ voidMm }: Section, units: LengthUnits): Warning[] {
  if (voidMm === null || voidMm >= FACTS.liftMm.value) return [];
  const message = `Only ${formatLength(voidMm, units)} free above the grid: below ${formatLength(ruleMm(FACTS.liftMm.value, units), units)} a tile can't be lifted out whole. Say how tiles will come down before punching them.`;
  return [{ code: "tile-lift", message, path: "ceiling.voidMm" }];
}

function gridWarnings(section: Section, ceiling: Ceiling, units: LengthUnits): Warning[] {
  const { grid } = ceiling;
  const warnings: Warning[] = [];
  for (const axis of [0, 1] as const) {
    const size = grid.moduleMm[axis];
    const near = MODULE_PRESETS.flatMap((p) => p.moduleMm).find(
      (known) => known !== size && Math.abs(known - size) <= NEAR_MODULE_MM,
    );
    if (near !== undefined)
      warnings.push({
        code: "module-nearly-standard",
        message: `A module of ${fine(size, units)} is nearly ${fine(near, units)}, but not quite; over ten tiles that is ${formatLength(round(Math.abs(near - size) * 10), units)}. Measure ten modules in a row.`,
        path: `ceiling.grid.moduleMm[${axis}]`,
      });
    const slack = size - grid.tileMm[axis];
    if (slack >= grid.teeFaceMm / 2)
      warnings.push({
        code: "tile-bearing",
        message: `A tile of ${partWords(grid.tileMm[axis], units)} in a module of ${partWords(size, units)} can slide off a tee of ${partWords(grid.teeFaceMm, units)}. Measure tile, module and tee again.`,
        path: "ceiling.grid.tileMm",
      });
  }
  if (section.grid.originMm !== "balanced") warnings.push(...borderWarnings(ceiling, units));
  return warnings;
}

/** A length whose hundredths of an inch tell: 610 mm is 24.02 in, where 24 in is 609.6 mm. */
const fine = (mm: number, units: LengthUnits): string =>
  units === "ft-in" ? `${+(mm / 25.4).toFixed(2)} in` : partWords(mm, units);

function borderWarnings(ceiling: Ceiling, units: LengthUnits): Warning[] {
  const { bordersMm, moduleMm } = ceiling.grid;
  const walls = borderWalls(ceiling);
  return (["left", "right", "bottom", "top"] as const)
    .filter((side) => bordersMm[side] < moduleMm[side === "left" || side === "right" ? 0 : 1] / 2)
    .map((side) => ({
      code: "narrow-border",
      message: `The border at ${walls[side]} is ${formatLength(round(bordersMm[side]), units)}, less than half a module. If the grid is still to be hung, balance it; if it hangs, check the measured crossing.`,
      path: "ceiling.grid.originMm",
    }));
}

function outlineWarnings(section: Section, { box }: Ceiling, units: LengthUnits): Warning[] {
  const warnings: Warning[] = [];
  if (box.minX !== 0 || box.minY !== 0)
    warnings.push({
      code: "origin-elsewhere",
      message: `The outline starts at (${formatLength(toMm(box.minX), units)}, ${formatLength(toMm(box.minY), units)}), not at (0, 0). Every coordinate in and out keeps that zero point.`,
      path: "ceiling.outlineMm",
    });
  if (section.walls.length > section.outlineMm.length)
    warnings.push({
      code: "too-many-wall-names",
      message: `${section.walls.length} wall names for ${section.outlineMm.length} walls: the last ones aren't used.`,
      path: "ceiling.walls",
    });
  return warnings;
}

function tileWarnings({ slivers, tiles }: Ceiling, units: LengthUnits): Warning[] {
  const warnings: Warning[] = [];
  const mm2 = slivers.reduce((sum, s) => sum + areaMm2(s), 0);
  const inAll = units === "ft-in" ? `${round(mm2 / 25.4 ** 2)} sq in` : `${round(mm2 / 100)} cm\u00B2`;
  if (slivers.length)
    warnings.push({
      code: "slivers",
      message: `${slivers.length} ${slivers.length === 1 ? "piece" : "pieces"} thinner than ${formatLength(SLIVER_MM, units)} at the walls, ${inAll} in all, ${slivers.length === 1 ? "isn't" : "aren't"} made into tiles. A small shift of the grid avoids them.`,
      path: "ceiling.grid.originMm",
    });
  const useless = tiles
    .filter((tile) => tile.use === "stars" && tile.usableMm2 === 0)
    .map((tile) => tile.name);
  if (useless.length)
    warnings.push({
      code: "tile-takes-no-hole",
      message: `No hole fits in ${listed(useless)}: edges and no-go zones take all of it.`,
      path: "ceiling.tiles",
    });
  return warnings;
}

function zoneWarnings(ceiling: Ceiling): Warning[] {
  return ceiling.noGo.flatMap(({ source, index, grown }): Warning[] => {
    const name = zoneName(source, index);
    const path = `ceiling.noGo[${index}]`;
    const box = boxOf(grown);
    if (!boxesTouch(box, ceiling.box) || !intersect(grown, ceiling.outline).length)
      return [{ code: "zone-outside-room", message: `The ${name} lies outside the room.`, path }];
    return [];
  });
}

/** Things whose owner has not agreed, each with the tiles that wait for it. */
function holdWarnings(ceiling: Ceiling): Warning[] {
  return holdsOf(ceiling).map(({ index, state, name, tiles, why }) =>
    index === null
      ? {
          code: "issued-misfit",
          message: `HOLD ${listed(tiles)}: ${name}: ${why}. It keeps the holes it was issued with. Look at the tile itself, then correct the survey, or take the issue back if nobody has started it.`,
          path: "issued",
        }
      : {
          code: state === "refused" ? "no-go-refused" : "no-go-not-agreed",
          message: `HOLD ${listed(tiles)}: ${name}, ${why}. Shop rule: the whole tile stays plain until whoever looks after it has agreed in writing.`,
          path: `ceiling.noGo[${index}]`,
        },
  );
}

/** "tile A1", "tiles A1, A2 and B3", at most a dozen by name. */
function listed(names: string[]): string {
  if (names.length === 1) return `tile ${names[0]}`;
  if (names.length > 12) return `${names.length} tiles (${names.slice(0, 12).join(", ")} ...)`;
  return `tiles ${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}

const round = (value: number) => Math.round(value * 10) / 10;
