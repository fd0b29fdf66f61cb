import { fittingChoice } from "../../../ceiling/presets.ts";
import type { PointMm } from "../../../geometry/types.ts";
import { xSign } from "../../stage/planView.ts";
import { stage } from "../../stage/stageView.svelte.ts";
import { fullCircle, setBearing } from "../../state/commands/bearing.ts";
import { setGridOrigin } from "../../state/commands/grid.ts";
import { moveCorner, setOutline } from "../../state/commands/room.ts";
import { moveThing, removeThing } from "../../state/commands/things.ts";
import { tileUse, USE_WORDS, useTiles } from "../../state/commands/tiles.ts";
import { desk } from "../../state/desk.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import type { Job } from "../../../job/schema.ts";
import { edits } from "../../stage/drags.ts";
import { arrow } from "../../ui/arrow.ts";
import type { PlanDrag } from "../../stage/part.ts";
import { placeNewThing } from "./newThing.ts";
import { moveUnderlay } from "./commands/underlay.ts";
import { resizeBy, sizeHandles } from "./resize.ts";
import { sketch } from "./sketch.svelte.ts";
import { keyStepMm, snap, snapStepMm, square } from "../../stage/snap.ts";
import { tileBeside, tilesAlong, tileUnder } from "../../stage/tileUnder.ts";

/** How near to the first corner a tap closes a drawn outline, and how near a corner is pulled square. */
const CLOSE_PX = 18;
const SQUARE_PX = 7;

const step = (): number => snapStepMm(studio.job.units, stage.planView.pxPerMm);
const snapped = (at: PointMm): PointMm => snap(at, step());
const numberIn = (grip: string, part: number): number => Number(grip.split(":")[part]);

/** Takes hold of what a grip names, as the open section allows. */
export function press(grip: string, at: PointMm): PlanDrag | null {
  const preset = fittingChoice(desk.drawing);
  if (preset) {
    return {
      move: (to) => (sketch.span = { from: snapped(at), to: snapped(to) }),
      end: (to) => {
        sketch.clear();
        placeNewThing(preset, snapped(at), snapped(to));
      },
      cancel: () => sketch.clear(),
    };
  }
  if (desk.drawing === "carry") return edits((job, to) => moveUnderlay(job, [to[0] - at[0], to[1] - at[1]]));
  if (desk.drawing !== null) return null;
  if (grip.startsWith("corner:")) {
    const index = numberIn(grip, 1);
    const off = offset(at, studio.job.ceiling.outlineMm[index]);
    return edits((job, to) => moveCorner(job, index, cornerTo(job, index, off(to))));
  }
  if (grip === "crossing") return edits((job, to) => setGridOrigin(job, snapped(to)));
  if (grip === "north") return edits((job, to) => setBearing(job, bearingTo(job, to)));
  if (grip.startsWith("size:")) {
    const [index, handle] = [numberIn(grip, 1), numberIn(grip, 2)];
    const thing = studio.job.ceiling.noGo[index];
    const off = offset(at, thing && sizeHandles(thing)[handle]);
    return edits((job, to) => resizeBy(job, index, handle, snapped(off(to))));
  }
  if (grip.startsWith("thing:") && desk.section === "things") {
    const index = numberIn(grip, 1);
    desk.selection = { kind: "thing", index };
    return edits((job, to) => moveThing(job, index, snap([to[0] - at[0], to[1] - at[1]], step())));
  }
  if (grip.startsWith("tile:") && desk.section === "tiles") return brushFrom(at);
  return null;
}

export function tap(grip: string, at: PointMm): void {
  const preset = fittingChoice(desk.drawing);
  if (preset) placeNewThing(preset, snapped(at));
  else if (desk.drawing === "outline") addCorner(at);
  else if (desk.drawing === "measure") markMeasured(at);
  else if (grip.startsWith("wall:")) desk.selection = { kind: "wall", index: numberIn(grip, 1) };
  else if (grip.startsWith("corner:")) desk.selection = { kind: "corner", index: numberIn(grip, 1) };
  else if (desk.section === "things") {
    desk.selection = grip.startsWith("thing:") ? { kind: "thing", index: numberIn(grip, 1) } : null;
  } else if (desk.section === "tiles" && studio.ceiling) {
    const tile = tileUnder(studio.ceiling, at);
    if (tile) brushTile(tile.name);
  }
}

/** The keyboard's way to everything that can be dragged. */
export function key(grip: string, event: KeyboardEvent): boolean {
  if (event.key === "Escape" && desk.drawing !== null) {
    sketch.clear();
    desk.drawing = null;
    return true;
  }
  if (desk.drawing === "outline" && event.key === "Backspace") {
    sketch.corners = sketch.corners.slice(0, -1);
    return true;
  }
  if (desk.drawing === "outline" && event.key === "Enter") {
    closeOutline();
    return true;
  }
  const way = arrow(event);
  if (desk.drawing === "carry" && way) {
    const far = keyStepMm(studio.job.units, event.shiftKey);
    return studio.run((job) => moveUnderlay(job, [way[0] * xSign(desk.side) * far, way[1] * far]));
  }
  if (grip.startsWith("tilecursor")) return tileKey(event, way);
  if (grip.startsWith("thing:")) return thingKey(numberIn(grip, 1), event, way);
  if (way === null) return false;
  const far = keyStepMm(studio.job.units, event.shiftKey);
  const by: PointMm = [way[0] * xSign(desk.side) * far, way[1] * far];
  if (grip.startsWith("corner:")) {
    const index = numberIn(grip, 1);
    const now = studio.job.ceiling.outlineMm[index];
    return now !== undefined && studio.run((job) => moveCorner(job, index, [now[0] + by[0], now[1] + by[1]]));
  }
  if (grip === "crossing") {
    const [x, y] = studio.ceiling?.grid.originMm ?? [0, 0];
    return studio.run((job) => setGridOrigin(job, [x + by[0], y + by[1]]));
  }
  if (grip === "north") {
    // The arrow to the right turns the N clockwise as seen on the screen.
    const turn = (way[0] || way[1]) * (event.shiftKey ? 10 : 1) * xSign(desk.side);
    return studio.run((job) => setBearing(job, fullCircle(readingOf(job) - turn)));
  }
  return false;
}

export function hint(): string {
  if (desk.drawing === "outline") {
    return sketch.corners.length < 3
      ? "Tap the corners of the room one after the other."
      : "Tap the first corner again, or press Enter, to close the room. Backspace takes a corner back.";
  }
  if (desk.drawing === "carry") return "Drag the plan to where it belongs, or move it with the arrow keys.";
  if (desk.drawing === "measure")
    return sketch.measured.length === 0
      ? "Tap one end of a length that you have measured in the room."
      : "Tap its other end.";
  const preset = fittingChoice(desk.drawing);
  if (preset?.fillsTile) return `${preset.label}: tap the tile, or drag over several.`;
  return preset ? `${preset.label}: tap where its middle is, or drag its size.` : "";
}

/** A handle is wider than a point: what it stands for moves as the hand moves, it does not jump to the finger. */
function offset(at: PointMm, held: PointMm | undefined): (to: PointMm) => PointMm {
  const [dx, dy] = held ? [held[0] - at[0], held[1] - at[1]] : [0, 0];
  return ([x, y]) => [x + dx, y + dy];
}

/** A drag whose every moment is an edit of the job before it. */
function brushFrom(start: PointMm): PlanDrag {
  const names = new Set<string>();
  let last = start;
  return {
    move: (to) => {
      if (!studio.ceiling) return;
      for (const tile of tilesAlong(studio.ceiling, last, to)) names.add(tile.name);
      last = to;
      studio.preview((job) => useTiles(job, [...names], desk.brush));
    },
    end: () => studio.commit(),
    cancel: () => studio.cancelPreview(),
  };
}

/** A tile that has the brush's use already goes back to stars. */
function brushTile(name: string): void {
  const use = tileUse(studio.job, name) === desk.brush ? "stars" : desk.brush;
  studio.run((job) => useTiles(job, [name], use));
  studio.seal();
  speakTile(name);
}

function tileKey(event: KeyboardEvent, way: PointMm | null): boolean {
  if (!studio.ceiling) return false;
  const now = desk.selection?.kind === "tile" ? desk.selection.name : (studio.ceiling.tiles[0]?.name ?? "");
  if (way) {
    const next = tileBeside(studio.ceiling, now, way[0] * xSign(desk.side), -way[1]);
    if (next) desk.selection = { kind: "tile", name: next.name };
    if (next) speakTile(next.name);
    return true;
  }
  if (event.key !== " " && event.key !== "Enter") return false;
  desk.selection = { kind: "tile", name: now };
  brushTile(now);
  return true;
}

function speakTile(name: string): void {
  const why = studio.job.ceiling.tiles[name]?.why;
  desk.spoken = `Tile ${name}, ${USE_WORDS[tileUse(studio.job, name)]}${why ? `, ${why}` : ""}`;
}

function thingKey(index: number, event: KeyboardEvent, way: PointMm | null): boolean {
  if (way) {
    const far = keyStepMm(studio.job.units, event.shiftKey);
    desk.selection = { kind: "thing", index };
    return studio.run((job) => moveThing(job, index, [way[0] * xSign(desk.side) * far, way[1] * far]));
  }
  if (event.key === "Enter" || event.key === " ") {
    desk.selection = { kind: "thing", index };
    return true;
  }
  if (event.key === "Delete" || event.key === "Backspace") {
    if (studio.run((job) => removeThing(job, index))) desk.selection = null;
    return true;
  }
  return false;
}

function cornerTo(job: Job, index: number, to: PointMm): PointMm {
  const others = job.ceiling.outlineMm.filter((_, i) => i !== index);
  return square(snapped(to), others, SQUARE_PX / stage.planView.pxPerMm);
}

function addCorner(at: PointMm): void {
  const { corners } = sketch;
  const first = corners[0];
  const closePx = CLOSE_PX / stage.planView.pxPerMm;
  if (first && corners.length >= 3 && Math.hypot(at[0] - first[0], at[1] - first[1]) < closePx) {
    closeOutline();
    return;
  }
  sketch.corners = [
    ...corners,
    square(snapped(at), corners.slice(-1), (SQUARE_PX * 2) / stage.planView.pxPerMm),
  ];
}

function markMeasured(at: PointMm): void {
  sketch.measured = [...sketch.measured.slice(0, 1), at];
  if (sketch.measured.length === 2) desk.drawing = null;
}

function closeOutline(): void {
  const { corners } = sketch;
  if (corners.length < 3) return;
  if (studio.run((job) => setOutline(job, corners, "Draw the room"))) desk.drawing = null;
  sketch.clear();
}

function readingOf(job: Job): number {
  return job.ceiling.bearingDeg - (job.ceiling.magneticDeclinationDeg ?? 0);
}

/** The reading that makes true north point from the room's middle to a point of the plan. */
function bearingTo(job: Job, to: PointMm): number {
  const middle = (axis: 0 | 1): number => {
    const values = job.ceiling.outlineMm.map((p) => p[axis]);
    return (Math.min(...values) + Math.max(...values)) / 2;
  };
  const northDeg = (Math.atan2(to[0] - middle(0), to[1] - middle(1)) * 180) / Math.PI;
  return Math.round(fullCircle(-northDeg - (job.ceiling.magneticDeclinationDeg ?? 0)) * 2) / 2;
}
