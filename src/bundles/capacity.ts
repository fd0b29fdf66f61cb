import { servable } from "./model.ts";
import type { Group, Problem, TileNeed } from "./problem.ts";

/** What every engine still takes. */
export class Capacity {
  private readonly left: { strands: number; port: number; limits: number[] }[];
  private readonly problem: Problem;

  constructor(problem: Problem) {
    this.problem = problem;
    this.left = problem.supplies.map((supply, e) => ({
      strands: supply.engine.capacity,
      port: supply.port,
      limits: problem.limits[e]!.map(({ limit }) => limit),
    }));
  }

  takes(tile: TileNeed, e: number): boolean {
    this.add(tile, e, 1);
    const { strands, port, limits } = this.left[e]!;
    const fits = strands >= 0 && port >= 0 && limits.every((left) => left >= 0);
    this.add(tile, e, -1);
    return fits;
  }

  add(tile: TileNeed, e: number, times: 1 | -1): void {
    for (const g of servable(tile)) this.addHoles(tile.groups[g]!, e, times * tile.groups[g]!.members.length);
  }

  addHoles(group: Group, e: number, count: number): void {
    const left = this.left[e]!;
    left.strands -= group.strands * count;
    left.port -= group.port * count;
    this.touched(group, e, (i) => (left.limits[i]! -= group.strands * count));
  }

  most(group: Group, e: number): number {
    const left = this.left[e]!;
    let most = Math.min(Math.floor(left.strands / group.strands), Math.floor(left.port / group.port));
    this.touched(group, e, (i) => (most = Math.min(most, Math.floor(left.limits[i]! / group.strands))));
    return Math.max(0, most);
  }

  private touched(group: Group, e: number, visit: (limit: number) => void): void {
    this.problem.limits[e]!.forEach(({ diameterMm, fromClass }, i) => {
      if (diameterMm === group.diameterMm && group.classes[e]! >= fromClass) visit(i);
    });
  }
}
