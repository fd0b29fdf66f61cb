import { boxOf, simplePolygonFault } from "../geometry/area.ts";
import { pointToUm, toMm } from "../geometry/um.ts";
import type { PointMm } from "../geometry/types.ts";
import { inBoth, type Fault } from "../job/faults.ts";
import { formatLength, partWords } from "../job/units.ts";
import type { Job } from "../job/schema.ts";
import { ASSUMED_MM } from "../job/assumed.ts";
import { MAX_LENGTH_MM } from "../job/limits.ts";

type Section = Job["ceiling"];

/** Cells of the grid over the outline's box; far above the largest room planned (3,000 tiles). */
export const MAX_CELLS = 20_000;
/** Corners of all polygon zones together. */
export const MAX_ZONE_POINTS = 20_000;

/** What stands in the way of working a ceiling out: numbers, outline, zones' shapes, grid sizes. All at once. */
export function shapeFaults(section: Section): Fault[] {
  const crowd = crowdFaults(section.noGo);
  if (crowd.length) return crowd; // too much to look at one by one
  if (!allFinite(section)) return finiteFaults(section, "ceiling");
  const outline = outlineFaults(section.outlineMm);
  return [...outline, ...zoneFaults(section.noGo), ...gridFaults(section, outline.length === 0)];
}

function crowdFaults(noGo: Section["noGo"]): Fault[] {
  const points = noGo.reduce((sum, zone) => sum + (zone.polygonMm?.length ?? 0), 0);
  if (points <= MAX_ZONE_POINTS) return [];
  return [
    {
      path: "ceiling.noGo",
      expected: `at most ${MAX_ZONE_POINTS} polygon corners in all`,
      got: `${points}`,
      next: "Draw the zones with fewer corners, or as circles and rectangles.",
    },
  ];
}

function allFinite(value: unknown): boolean {
  if (typeof value === "number") return Number.isFinite(value);
  return typeof value !== "object" || value === null || Object.values(value).every(allFinite);
}

function finiteFaults(value: unknown, path: string): Fault[] {
  if (typeof value === "number")
    return Number.isFinite(value)
      ? []
      : [{ path, expected: "a number", got: String(value), next: "Type the measured value." }];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) =>
    finiteFaults(inner, Array.isArray(value) ? `${path}[${key}]` : `${path}.${key}`),
  );
}

function outlineFaults(outlineMm: PointMm[]): Fault[] {
  const path = "ceiling.outlineMm";
  const ring = outlineMm.map(pointToUm);
  const fault = simplePolygonFault(ring);
  if (fault)
    return [
      {
        path,
        expected: "the corners of the room in order, edges that meet only at corners",
        got: `${fault.text} (points counted from 1)`,
        next: "Check the order of the corners and the measurements; don't repeat the first corner at the end.",
      },
    ];
  const { minX, minY, maxX, maxY } = boxOf([ring]);
  const span = toMm(Math.max(maxX - minX, maxY - minY));
  if (span <= MAX_LENGTH_MM) return [];
  return [
    {
      path,
      ...inBoth((units) => ({
        expected: `a room at most ${formatLength(MAX_LENGTH_MM, units)} across`,
        got: formatLength(span, units),
      })),
      next: "Check the unit: lengths are millimetres. Plan a larger room in parts.",
    },
  ];
}

function zoneFaults(noGo: Section["noGo"]): Fault[] {
  const faults: Fault[] = [];
  noGo.forEach((zone, i) => {
    const path = `ceiling.noGo[${i}]`;
    const shapes = (["circle", "polygonMm", "rectangle"] as const).filter((key) => zone[key] !== undefined);
    if (shapes.length !== 1)
      faults.push({
        path,
        expected: "exactly one of circle, polygonMm, rectangle",
        got: shapes.length ? shapes.join(" and ") : "none of them",
        next: shapes.length ? "Keep one shape; write the others as zones of their own." : "Give its shape.",
      });
    if (!zone.polygonMm) return;
    const fault = simplePolygonFault(zone.polygonMm.map(pointToUm));
    if (fault)
      faults.push({
        path: `${path}.polygonMm`,
        expected: "corners in order, edges that meet only at corners",
        got: `${fault.text} (points counted from 1)`,
        next: "Check the order of the corners.",
      });
  });
  return faults;
}

function gridFaults(section: Section, outlineIsSound: boolean): Fault[] {
  const { moduleMm, tileMm, teeFaceMm = ASSUMED_MM.teeFaceMm } = section.grid;
  const faults: Fault[] = [];
  for (const axis of [0, 1] as const) {
    const moduleSize = moduleMm[axis];
    if (teeFaceMm >= moduleSize)
      faults.push({
        path: `ceiling.grid.moduleMm[${axis}]`,
        ...inBoth((units) => ({
          expected: `more than the tee face of ${partWords(teeFaceMm, units)}`,
          got: partWords(moduleSize, units),
        })),
        next: "Measure from the centre of one tee to the centre of the next.",
      });
    const tile = tileMm?.[axis] ?? 0;
    if (tile > moduleSize)
      faults.push({
        path: `ceiling.grid.tileMm[${axis}]`,
        ...inBoth((units) => ({
          expected: `at most the module of ${partWords(moduleSize, units)}`,
          got: partWords(tile, units),
        })),
        next: "Measure three tiles, and the grid from tee centre to tee centre.",
      });
  }
  if (faults.length || !outlineIsSound) return faults;
  const box = boxOf([section.outlineMm.map(pointToUm)]);
  const cells = (toMm(box.maxX - box.minX) / moduleMm[0]) * (toMm(box.maxY - box.minY) / moduleMm[1]);
  if (cells > MAX_CELLS)
    faults.push({
      path: "ceiling.grid.moduleMm",
      expected: `a grid of at most ${MAX_CELLS} tiles over the room`,
      got: `about ${Math.ceil(cells)}`,
      next: "Check the unit of the module and of the outline: lengths are millimetres.",
    });
  return faults;
}
