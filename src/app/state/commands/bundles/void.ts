import { LIMITS } from "../../../../job/limits.ts";
import type { PointMm } from "../../../../geometry/types.ts";
import type { Job } from "../../../../job/schema.ts";
import { type Edit, Refusal } from "../../edit.ts";
import { withBundles } from "./engines.ts";
import { tidy } from "../shiftRoom.ts";

export type VoidObstacle = Job["bundles"]["obstacles"][number];
const SMALLEST_MM = 10;
const USUAL_MM = 400;

export const obstacleName = (job: Job, index: number): string =>
  job.bundles.obstacles[index]?.name || `obstacle ${index + 1}`;

/** A new obstacle: a rectangle between two corners, or a usual size round a point. */
export function addObstacle(job: Job, from: PointMm, to: PointMm = from): Edit {
  const axis = (i: 0 | 1): [number, number] => {
    const [low, high] = [Math.min(from[i], to[i]), Math.max(from[i], to[i])];
    const grow = high - low < SMALLEST_MM ? USUAL_MM / 2 : 0;
    return [tidy(low - grow), tidy(high + grow)];
  };
  const [left, right] = axis(0);
  const [bottom, top] = axis(1);
  const polygonMm: PointMm[] = [
    [left, bottom],
    [right, bottom],
    [right, top],
    [left, top],
  ];
  const obstacle: VoidObstacle = { name: "", polygonMm, clearanceMm: 50, undersideMm: 0 };
  return {
    name: "Add an obstacle in the void",
    job: withBundles(job, { obstacles: [...job.bundles.obstacles, obstacle] }),
  };
}

export function moveObstacle(job: Job, index: number, [dx, dy]: PointMm): Edit {
  const obstacle = obstacleAt(job, index);
  const polygonMm = obstacle.polygonMm.map(([x, y]): PointMm => [tidy(x + dx), tidy(y + dy)]);
  return {
    name: `Move ${obstacleName(job, index)}`,
    job: withObstacle(job, index, { ...obstacle, polygonMm }),
    merge: `obstacle ${index}`,
  };
}

/** A corner to a place; the two beside it keep a rectangle rectangular. */
export function moveObstacleCorner(job: Job, index: number, corner: number, [x, y]: PointMm): Edit {
  const obstacle = obstacleAt(job, index);
  const { polygonMm } = obstacle;
  const held = polygonMm[corner];
  if (!held) throw new Refusal("That corner is no longer there.");
  const square = isRectangle(polygonMm);
  const moved = polygonMm.map((point, i): PointMm => {
    if (i === corner) return [tidy(x), tidy(y)];
    if (!square) return point;
    return [point[0] === held[0] ? tidy(x) : point[0], point[1] === held[1] ? tidy(y) : point[1]];
  });
  const [width, depth] = sizeOf(moved);
  if (width < SMALLEST_MM || depth < SMALLEST_MM) throw new Refusal("That would leave nothing of it.");
  return {
    name: `Resize ${obstacleName(job, index)}`,
    job: withObstacle(job, index, { ...obstacle, polygonMm: moved }),
    merge: `obstacle ${index} ${corner}`,
  };
}

export type ObstacleDetails = Partial<Pick<VoidObstacle, "name" | "clearanceMm" | "undersideMm">>;

export function describeObstacle(job: Job, index: number, details: ObstacleDetails): Edit {
  const obstacle = { ...obstacleAt(job, index), ...details };
  if (!(
    obstacle.clearanceMm >= 0 &&
    obstacle.clearanceMm <= LIMITS.distanceMm.max &&
    obstacle.undersideMm >= 0
  ))
    throw new Refusal("Lengths of an obstacle go from 0 to 60 m.");
  return { name: `Change ${obstacleName(job, index)}`, job: withObstacle(job, index, obstacle) };
}

export function removeObstacle(job: Job, index: number): Edit {
  return {
    name: `Remove ${obstacleName(job, index)}`,
    job: withBundles(job, { obstacles: job.bundles.obstacles.toSpliced(index, 1) }),
  };
}

/** How far the building reaches round the room's box on every side; null: a cabinet's depth. */
export function setBuilding(job: Job, beyondMm: number | null): Edit {
  const name = "Set how far the building reaches";
  if (beyondMm === null) return { name, job: withBundles(job, { buildingMm: null }) };
  if (!(beyondMm >= 0 && beyondMm <= 50_000))
    throw new Refusal("The building reaches from 0 to 50 m beyond.");
  const [low, high] = boxOf(job.ceiling.outlineMm);
  const [x0, y0, x1, y1] = [low[0] - beyondMm, low[1] - beyondMm, high[0] + beyondMm, high[1] + beyondMm];
  const buildingMm: PointMm[] = [
    [tidy(x0), tidy(y0)],
    [tidy(x1), tidy(y0)],
    [tidy(x1), tidy(y1)],
    [tidy(x0), tidy(y1)],
  ];
  return { name, job: withBundles(job, { buildingMm }) };
}

/** The least that the drawn building reaches beyond the room's box; null where none is drawn. */
export function buildingBeyond(job: Job): number | null {
  const { buildingMm } = job.bundles;
  if (!buildingMm) return null;
  const [low, high] = boxOf(job.ceiling.outlineMm);
  const [least, most] = boxOf(buildingMm);
  return Math.min(low[0] - least[0], low[1] - least[1], most[0] - high[0], most[1] - high[1]);
}

export function boxOf(points: readonly PointMm[]): [low: PointMm, high: PointMm] {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return [
    [Math.min(...xs), Math.min(...ys)],
    [Math.max(...xs), Math.max(...ys)],
  ];
}

function sizeOf(points: readonly PointMm[]): PointMm {
  const [low, high] = boxOf(points);
  return [high[0] - low[0], high[1] - low[1]];
}

function isRectangle(points: readonly PointMm[]): boolean {
  if (points.length !== 4) return false;
  const [low, high] = boxOf(points);
  return points.every(([x, y]) => (x === low[0] || x === high[0]) && (y === low[1] || y === high[1]));
}

function obstacleAt(job: Job, index: number): VoidObstacle {
  const obstacle = job.bundles.obstacles[index];
  if (!obstacle) throw new Refusal("That obstacle is no longer in the void.");
  return obstacle;
}

function withObstacle(job: Job, index: number, obstacle: VoidObstacle): Job {
  return withBundles(job, { obstacles: job.bundles.obstacles.with(index, obstacle) });
}
