import { areaMm2, areaOf, boxOf } from "../geometry/area.ts";
import { pointToUm } from "../geometry/um.ts";
import { JobFaults } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import { resolveGrid } from "./grid.ts";
import { shapeFaults } from "./shapeFaults.ts";
import { makeTiles } from "./tiles.ts";
import type { Ceiling } from "./types.ts";
import { wallsOf } from "./walls.ts";
import { zonesOf } from "./zones.ts";

/**
 * Works out a surveyed ceiling: grid, tiles as cut, usable area, walls. Nothing is shifted: outline, zones,
 * grid origin and the result all keep the coordinates of the job. The origin belongs at the lower left
 * of the outline's box; an outline drawn from elsewhere keeps its own zero point (`ceilingWarnings` says so).
 * Throws JobFaults with all `shapeFaults` of the section.
 */
export function makeCeiling(section: Job["ceiling"]): Ceiling {
  const faults = shapeFaults(section);
  if (faults.length) throw new JobFaults(faults);
  return workOut(section);
}

/** `makeCeiling` for a section known to have no `shapeFaults`. */
export function workOut(section: Job["ceiling"]): Ceiling {
  const ring = section.outlineMm.map(pointToUm);
  const outline = areaOf(ring);
  const box = boxOf(outline);
  const grid = resolveGrid(section.grid, box);
  const noGo = zonesOf(section.noGo);
  const useOf = (name: string) => (Object.hasOwn(section.tiles, name) ? section.tiles[name] : undefined);
  const { tiles, slivers } = makeTiles(grid, outline, noGo, useOf);
  return {
    outline,
    box,
    grid,
    walls: wallsOf(ring, section.walls, section.bearingDeg),
    tiles,
    slivers,
    noGo,
    bearingDeg: section.bearingDeg,
    areaMm2: areaMm2(outline),
    usableMm2: tiles.reduce((sum, tile) => sum + tile.usableMm2, 0),
  };
}
