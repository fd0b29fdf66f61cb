import { holdsByTile } from "../ceiling/holds.ts";
import { cautionsFor, WHO_DECIDES } from "../job/cautions.ts";
import { wordedIn } from "../job/faults.ts";
import { stopQuestions } from "../job/stops.ts";
import { countStrands, MOST_IN_HOLE } from "../pattern/packing.ts";
import type { Planned } from "../plan.ts";
import type { Hole } from "../pattern/types.ts";
import { tilesWithHoles, type EngineOf } from "./context.ts";
import { toMm } from "../geometry/um.ts";
import { groupBy } from "../groupBy.ts";

/**
 * The content of `plan.json`, keys always in this order: counts, limits, fidelity, moves, decisions by
 * hand, tables by tile and engine, the resolved moment, warnings and cautions. Lengths in mm, angles in
 * degrees, UTC in ISO 8601.
 */
export function planJson(plan: Planned, engineOf: EngineOf = () => ""): object {
  const { job, night, frame, ceiling, pattern, warnings } = plan;
  const { holes } = pattern;
  const byTile = new Map(tilesWithHoles(plan).map((part) => [part.tile.name, part.holes]));
  const stocked = strandsOf(plan);
  const held = holdsByTile(ceiling);
  return {
    format: "velarium.plan",
    version: 1,
    title: job.title,
    revision: job.revision,
    sky: {
      id: night.id,
      title: night.title,
      place: { name: frame.place.name, latDeg: frame.place.latDeg, lonDeg: frame.place.lonDeg },
      local: frame.instant.localIso,
      zone: frame.instant.zone,
      utc: frame.instant.utcIso,
      sunAltitudeDeg: rounded(frame.sun.altitudeDeg, 4),
      refraction: frame.refraction,
      extinction: frame.extinction,
      bodies: frame.bodies.map((body) => ({
        name: body.name,
        altitudeDeg: rounded(body.altitudeDeg, 4),
        azimuthDeg: rounded(body.azimuthDeg, 4),
        magnitude: rounded(body.magnitude, 2),
        lit: rounded(body.lit, 3),
      })),
    },
    counts: {
      wanted: pattern.wanted,
      holes: holes.length,
      strands: countStrands(holes),
      ...countBy(holes, (hole) => hole.kind, ["star", "moon", "planet", "filler"]),
      lost: pattern.lost.length,
      byDiameterMm: diameters(stocked, holes),
      byStrandsInHole: Array.from({ length: MOST_IN_HOLE }, (_, i) => ({
        strands: i + 1,
        holes: holes.filter(({ strands }) => strands === i + 1).length,
      })),
      spare: pattern.spare,
      shortfall: pattern.shortfall,
    },
    limits: {
      spacingMm: job.pattern.spacingMm,
      edgeKeepOutMm: ceiling.grid.edgeKeepOutMm,
      reachMm: job.pattern.reachMm,
      brightReachMm: job.pattern.brightReachMm,
      faintestMagnitude: pattern.fidelity.faintestMagnitude,
      usableMm2: rounded(ceiling.usableMm2, 0),
      areaMm2: rounded(ceiling.areaMm2, 0),
    },
    fidelity: pattern.fidelity,
    ladder: pattern.scale,
    moved: holes
      .filter((hole) => hole.movedMm > 0)
      .map((hole) => ({
        hole: hole.id,
        tile: hole.tile,
        star: hole.star,
        name: hole.name,
        movedMm: hole.movedMm,
      })),
    lost: wordedIn("mm", pattern.lost),
    byHand: wordedIn("mm", pattern.byHand),
    tiles: ceiling.tiles.map((tile) => {
      const own = byTile.get(tile.name) ?? [];
      return {
        tile: tile.name,
        use: tile.use,
        cut: tile.cut,
        why: tile.why,
        hold: (held.get(tile.name) ?? []).map(({ name, state, why }) => ({ thing: name, state, why })),
        widthMm: toMm(tile.box.maxX - tile.box.minX),
        heightMm: toMm(tile.box.maxY - tile.box.minY),
        usableMm2: rounded(tile.usableMm2, 0),
        holes: own.length,
        strands: countStrands(own),
        byDiameterMm: diameters(stocked, own),
      };
    }),
    engines: engines(plan, stocked, engineOf),
    stops: stopQuestions(job),
    warnings,
    cautions: cautionsFor(job),
    whoDecides: WHO_DECIDES,
  };
}

/** Fixed decimals, so that a last bit that differs between engines is not seen. */
const rounded = (value: number, decimals: number): number => Number(value.toFixed(decimals)) + 0;

function countBy<K extends string>(
  holes: Hole[],
  key: (hole: Hole) => K,
  keys: readonly K[],
): Record<K, number> {
  const counts = Object.fromEntries(keys.map((name) => [name, 0])) as Record<K, number>;
  for (const hole of holes) counts[key(hole)]++;
  return counts;
}

/** Every diameter of the job, thinnest first. */
function strandsOf(plan: Planned): number[] {
  const known = new Set(plan.job.strands.stock.map((strand) => strand.diameterMm));
  for (const hole of plan.pattern.holes) known.add(hole.diameterMm);
  return [...known].sort((a, b) => a - b);
}

function diameters(known: number[], holes: Hole[]): { diameterMm: number; holes: number; strands: number }[] {
  return known.map((diameterMm) => {
    const own = holes.filter((hole) => hole.diameterMm === diameterMm);
    return { diameterMm, holes: own.length, strands: countStrands(own) };
  });
}

/** Empty until engines are assigned. */
function engines(plan: Planned, stocked: number[], engineOf: EngineOf): object[] {
  const byEngine = groupBy(plan.pattern.holes, engineOf);
  byEngine.delete("");
  return [...byEngine]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([engine, holes]) => ({
      engine,
      holes: holes.length,
      strands: countStrands(holes),
      byDiameterMm: diameters(stocked, holes),
      tiles: [...new Set(holes.map((hole) => hole.tile))],
    }));
}
