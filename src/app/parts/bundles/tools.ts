import type { PointMm } from "../../../geometry/types.ts";
import { xSign } from "../../stage/planView.ts";
import { stage } from "../../stage/stageView.svelte.ts";
import { addEngine, moveEngine, removeEngine } from "../../state/commands/bundles/engines.ts";
import { fixTiles } from "../../state/commands/bundles/sharing.ts";
import {
  addObstacle,
  moveObstacle,
  moveObstacleCorner,
  removeObstacle,
} from "../../state/commands/bundles/void.ts";
import { desk } from "../../state/desk.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import { edits } from "../../stage/drags.ts";
import { arrow } from "../../ui/arrow.ts";
import type { PlanDrag } from "../../stage/part.ts";
import { keyStepMm, snap, snapStepMm } from "../../stage/snap.ts";
import { tileBeside, tileUnder } from "../../stage/tileUnder.ts";
import { bench } from "../../state/bench.svelte.ts";

/** How near to an engine a tile has to be dropped. */
const DROP_PX = 34;

const step = (): number => snapStepMm(studio.job.units, stage.planView.pxPerMm);
const snapped = (at: PointMm): PointMm => snap(at, step());
const numberIn = (grip: string, part: number): number => Number(grip.split(":")[part]);

/** Takes hold of an engine anywhere in this part, of an obstacle in its section. */
export function press(grip: string, at: PointMm): PlanDrag | null {
  if (desk.drawing === "obstacle")
    return {
      move: (to) => (bench.span = { from: snapped(at), to: snapped(to) }),
      end: (to) => putObstacle(at, to),
      cancel: () => (bench.span = null),
    };
  if (desk.drawing !== null) return null;
  if (grip.startsWith("engine:")) {
    const index = numberIn(grip, 1);
    const from = studio.job.bundles.engines[index]?.atMm ?? at;
    const off: PointMm = [from[0] - at[0], from[1] - at[1]];
    return edits((job, to) => moveEngine(job, index, snapped([to[0] + off[0], to[1] + off[1]])));
  }
  if (grip.startsWith("obstacle:")) {
    const index = numberIn(grip, 1);
    return edits((job, to) => moveObstacle(job, index, snap([to[0] - at[0], to[1] - at[1]], step())));
  }
  if (grip.startsWith("bend:")) {
    const [index, corner] = [numberIn(grip, 1), numberIn(grip, 2)];
    return edits((job, to) => moveObstacleCorner(job, index, corner, snapped(to)));
  }
  if (desk.section === "sharing" && bench.tile !== null && grip === `tile:${bench.tile}`)
    return dragTile(bench.tile);
  return null;
}

/** The picked tile is drawn to an engine: fixed to it while the hand is there, and for good when it lets go. */
function dragTile(tile: string): PlanDrag {
  let held = "";
  const leave = (): void => {
    bench.leash = null;
    studio.cancelPreview();
  };
  return {
    move: (to) => {
      bench.leash = to;
      const letter = engineUnder(to);
      if (letter === held) return;
      held = letter;
      if (letter === "") studio.cancelPreview();
      else studio.preview((job) => fixTiles(job, [tile], letter));
    },
    end: () => {
      bench.leash = null;
      studio.commit();
    },
    cancel: leave,
  };
}

function engineUnder([x, y]: PointMm): string {
  const withinMm = DROP_PX / stage.planView.pxPerMm;
  const near = studio.settledJob.bundles.engines.find(
    ({ atMm }) => Math.hypot(atMm[0] - x, atMm[1] - y) <= withinMm,
  );
  return near?.letter ?? "";
}

export function tap(grip: string, at: PointMm): void {
  if (desk.drawing === "engine") putEngine(at);
  else if (desk.drawing === "obstacle") putObstacle(at, at);
  else if (grip.startsWith("engine:")) {
    desk.open("engines");
    bench.engine = numberIn(grip, 1);
  } else if (grip.startsWith("obstacle:")) bench.obstacle = numberIn(grip, 1);
  else if (desk.section === "void") bench.obstacle = null;
  else pickTile(at);
}

function pickTile(at: PointMm): void {
  const tile = studio.ceiling && tileUnder(studio.ceiling, at);
  bench.tile = tile?.name ?? null;
  if (tile && desk.section !== "sharing") desk.open("sharing");
}

function putEngine(at: PointMm): void {
  if (!studio.run((job) => addEngine(job, snapped(at)))) return;
  desk.drawing = null;
  bench.engine = studio.job.bundles.engines.length - 1;
}

function putObstacle(from: PointMm, to: PointMm): void {
  bench.span = null;
  if (!studio.run((job) => addObstacle(job, snapped(from), snapped(to)))) return;
  desk.drawing = null;
  bench.obstacle = studio.job.bundles.obstacles.length - 1;
}

/** The keyboard's way to everything that can be dragged or tapped. */
export function key(grip: string, event: KeyboardEvent): boolean {
  if (event.key === "Escape" && desk.drawing !== null) {
    desk.drawing = null;
    bench.span = null;
    return true;
  }
  const way = arrow(event);
  if (grip === "tailcursor") return tileKey(event, way);
  const index = numberIn(grip, 1);
  const gone = event.key === "Delete" || event.key === "Backspace";
  if (way) {
    const far = keyStepMm(studio.job.units, event.shiftKey);
    const by: PointMm = [way[0] * xSign(desk.side) * far, way[1] * far];
    return nudge(grip, index, by);
  }
  if (grip.startsWith("engine:")) {
    if (event.key === "Enter" || event.key === " ") {
      desk.open("engines");
      bench.engine = index;
      return true;
    }
    if (!gone) return false;
    if (studio.run((job) => removeEngine(job, index))) bench.engine = null;
    return true;
  }
  if (!grip.startsWith("obstacle:")) return false;
  if (event.key === "Enter" || event.key === " ") bench.obstacle = index;
  else if (gone && studio.run((job) => removeObstacle(job, index))) bench.obstacle = null;
  else return false;
  return true;
}

function nudge(grip: string, index: number, [dx, dy]: PointMm): boolean {
  if (grip.startsWith("engine:")) {
    const at = studio.job.bundles.engines[index]?.atMm;
    return at !== undefined && studio.run((job) => moveEngine(job, index, [at[0] + dx, at[1] + dy]));
  }
  if (grip.startsWith("obstacle:")) return studio.run((job) => moveObstacle(job, index, [dx, dy]));
  if (!grip.startsWith("bend:")) return false;
  const corner = numberIn(grip, 2);
  const at = studio.job.bundles.obstacles[index]?.polygonMm[corner];
  return (
    at !== undefined && studio.run((job) => moveObstacleCorner(job, index, corner, [at[0] + dx, at[1] + dy]))
  );
}

/** Arrows go from tile to tile; an engine's letter fixes the tile to it, Delete frees it. */
function tileKey(event: KeyboardEvent, way: PointMm | null): boolean {
  const { ceiling } = studio;
  if (!ceiling) return false;
  const now = bench.tile ?? ceiling.tiles[0]?.name ?? "";
  if (way) {
    bench.tile = tileBeside(ceiling, now, way[0] * xSign(desk.side), -way[1])?.name ?? now;
    return true;
  }
  const letter = event.key.toUpperCase();
  const known = studio.job.bundles.engines.some((engine) => engine.letter === letter);
  if (known && !event.ctrlKey) return studio.run((job) => fixTiles(job, [now], letter));
  if (event.key === "Delete" || event.key === "Backspace")
    return studio.run((job) => fixTiles(job, [now], null));
  return false;
}

export function hint(): string {
  if (bench.leash) return "Draw the tile to an engine, to fix it there. Escape leaves it.";
  if (desk.drawing === "engine") return "Tap where the engine stands. Escape leaves it.";
  if (desk.drawing === "obstacle") return "Drag the obstacle from corner to corner, or tap its middle.";
  return "";
}
