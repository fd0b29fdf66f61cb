import type { PointMm } from "../../../geometry/types.ts";
import type { Job } from "../../../job/schema.ts";
import { type Edit, Refusal, withCeiling } from "../edit.ts";
import { omit } from "../omit.ts";
import { tidy } from "./shiftRoom.ts";

type GridSection = Job["ceiling"]["grid"];

export interface GridSystem {
  label: string;
  moduleMm: PointMm;
}

/** A preset settles the module; its tile is still to be measured. */
export function applyGridSystem(job: Job, { label, moduleMm }: GridSystem): Edit {
  const grid: GridSection = { ...omit(job.ceiling.grid, "tileMm"), moduleMm };
  return { name: `Use the grid ${label}`, job: withCeiling(job, { grid }) };
}

/** A new module; the measured tile no longer fits it and goes back to the default. */
export function setModule(job: Job, axis: 0 | 1, mm: number): Edit {
  const grid: GridSection = omit(job.ceiling.grid, "tileMm");
  const moduleMm = grid.moduleMm.with(axis, mm) as PointMm;
  return { name: "Set the grid module", job: withCeiling(job, { grid: { ...grid, moduleMm } }) };
}

/** One side of the tile as measured; null: not measured, and the default for the module stands in. */
export function setTileSide(job: Job, axis: 0 | 1, mm: number | null): Edit {
  const tileMm = (job.ceiling.grid.tileMm ?? [null, null]).with(axis, mm) as [number | null, number | null];
  if (tileMm.every((side) => side === null)) {
    const grid: GridSection = omit(job.ceiling.grid, "tileMm");
    return { name: "Use the usual tile size", job: withCeiling(job, { grid }) };
  }
  const { moduleMm } = job.ceiling.grid;
  if (mm !== null && mm >= moduleMm[axis]) {
    throw new Refusal("A tile is smaller than its module, or it would not drop in. Measure three tiles.");
  }
  return withGrid(job, "Set the measured tile", { tileMm });
}

/** The clear opening between two tees, as measured: what is left of the module is the tee's face. */
export function setOpening(job: Job, openingMm: number): Edit {
  const teeFaceMm = tidy(job.ceiling.grid.moduleMm[0] - openingMm);
  if (teeFaceMm <= 0) throw new Refusal("The opening is smaller than the module: the tee takes the rest.");
  return withGrid(job, "Set the measured opening", { teeFaceMm });
}

export function setTeeFace(job: Job, teeFaceMm: number | undefined): Edit {
  if (teeFaceMm === undefined) return unmeasured(job, "teeFaceMm");
  if (teeFaceMm >= Math.min(...job.ceiling.grid.moduleMm)) {
    throw new Refusal("The face of a tee is narrower than the module.");
  }
  return withGrid(job, "Set the tee's face", { teeFaceMm });
}

/** Opposite borders equal, each more than half a tile. */
export function balanceBorders(job: Job): Edit {
  return withGrid(job, "Balance the borders", { originMm: "balanced" });
}

/** A tee crossing somewhere on the plan; it is stored as the one nearest the lower left corner. */
export function setGridOrigin(job: Job, atMm: PointMm): Edit {
  const { moduleMm } = job.ceiling.grid;
  const originMm: PointMm = [remainder(atMm[0], moduleMm[0]), remainder(atMm[1], moduleMm[1])];
  return { ...withGrid(job, "Move the grid", { originMm }), merge: "grid origin" };
}

/** The border tile's module width at the left (axis 0) or at the bottom (axis 1) of the plan, as measured. */
export function setBorder(job: Job, axis: 0 | 1, borderMm: number, nowMm: PointMm): Edit {
  const { moduleMm } = job.ceiling.grid;
  if (borderMm > moduleMm[axis]) throw new Refusal("A border is at most one module wide.");
  const originMm = nowMm.with(axis, remainder(borderMm, moduleMm[axis])) as PointMm;
  return withGrid(job, axis === 0 ? "Set the left border" : "Set the bottom border", { originMm });
}

export function setTileThickness(job: Job, thicknessMm: number | undefined): Edit {
  if (thicknessMm === undefined) return unmeasured(job, "thicknessMm");
  return withGrid(job, "Set the tile's thickness", { thicknessMm });
}

export function setWallAngle(job: Job, wallAngleMm: number | undefined): Edit {
  if (wallAngleMm === undefined) return unmeasured(job, "wallAngleMm");
  return withGrid(job, "Set the wall angle", { wallAngleMm });
}

/** No hole nearer than this to a tile's edge; undefined = half the tee's face and 5 mm. */
export function setEdgeKeepOut(job: Job, edgeKeepOutMm: number | undefined): Edit {
  if (edgeKeepOutMm === undefined) {
    const grid: GridSection = omit(job.ceiling.grid, "edgeKeepOutMm");
    return { name: "Use the usual edge distance", job: withCeiling(job, { grid }) };
  }
  return withGrid(job, "Set the edge distance", { edgeKeepOutMm });
}

function unmeasured(job: Job, key: "teeFaceMm" | "thicknessMm" | "wallAngleMm"): Edit {
  const grid: GridSection = omit(job.ceiling.grid, key);
  return { name: "Leave a size of the grid not measured", job: withCeiling(job, { grid }) };
}

function withGrid(job: Job, name: string, change: Partial<GridSection>): Edit {
  return { name, job: withCeiling(job, { grid: { ...job.ceiling.grid, ...change } }) };
}

function remainder(mm: number, moduleMm: number): number {
  const rest = mm - Math.floor(mm / moduleMm) * moduleMm;
  return tidy(rest >= moduleMm - 0.0005 ? 0 : rest);
}
