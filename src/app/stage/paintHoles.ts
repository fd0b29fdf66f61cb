import { holeMm } from "../../pattern/packing.ts";
import type { Hole } from "../../pattern/types.ts";
import { type PlanView, toScreen } from "./planView.ts";

/** A strand as seen across the room: thin ones stay visible, thick ones stand out. */
const LEAST_PX = 0.7;
const GLOW = 3.2;
const SQUARE_PX = 0.8;
/** Half the side of the square as large as a disc of radius 1. */
const HALF = Math.sqrt(Math.PI) / 2;

/** Paints holes as small discs, larger for thicker strands; by night the thick ones glow a little. */
function paintHoles(
  pen: CanvasRenderingContext2D,
  holes: readonly Hole[],
  planView: PlanView,
  colour: string,
  night: boolean,
): void {
  pen.fillStyle = colour;
  // Zoomed out a true-to-scale strand would vanish, so marks keep a size that shows their order.
  const perMm = Math.max(planView.pxPerMm, 0.5 + planView.pxPerMm * 1.6);
  for (const hole of holes) {
    const [x, y] = toScreen(planView, [hole.xMm, hole.yMm]);
    if (x < -20 || y < -20 || x > planView.widthPx + 20 || y > planView.heightPx + 20) continue;
    const radius = Math.max(LEAST_PX, (holeMm(hole) * perMm) / 1.25);
    if (night && holeMm(hole) > 1.4) {
      pen.globalAlpha = 0.16;
      disc(pen, x, y, radius * GLOW);
    }
    pen.globalAlpha = hole.kind === "filler" ? 0.6 : 1;
    // so small a disc looks like a square as large, which is painted three times as fast
    if (radius < SQUARE_PX)
      pen.fillRect(x - radius * HALF, y - radius * HALF, 2 * radius * HALF, 2 * radius * HALF); // prettier-ignore
    else disc(pen, x, y, radius);
  }
  pen.globalAlpha = 1;
}

function disc(pen: CanvasRenderingContext2D, x: number, y: number, radius: number): void {
  pen.beginPath();
  pen.arc(x, y, radius, 0, Math.PI * 2);
  pen.fill();
}

/** Fits a canvas to the drawing and paints the holes on it, in the canvas's own CSS colour. */
export function paintHolesOn(
  canvas: HTMLCanvasElement,
  holes: readonly Hole[],
  planView: PlanView,
  dark: boolean,
): void {
  const pen = canvas.getContext("2d");
  if (!pen) return;
  const ratio = Math.min(3, window.devicePixelRatio || 1);
  canvas.width = Math.round(planView.widthPx * ratio);
  canvas.height = Math.round(planView.heightPx * ratio);
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, planView.widthPx, planView.heightPx);
  paintHoles(pen, holes, planView, getComputedStyle(canvas).color, dark);
}
