import type { PointMm } from "../../../geometry/types.ts";
import { xSign } from "../../stage/planView.ts";
import { setRimRadius, setView } from "./commands/view.ts";
import { desk } from "../../state/desk.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import { arrow } from "../../ui/arrow.ts";
import type { PlanDrag } from "../../stage/part.ts";
import { draggedView, sweptDeg } from "./sky/dragSky.ts";
import { live } from "./sky/live.svelte.ts";

const DEG_STEP = 1;
const DEG_STRIDE = 10;
const RIM_STEP_MM = 20;

/** The bare ceiling takes hold of the sky; the rim's grips stretch and turn it. */
export function press(grip: string, at: PointMm): PlanDrag | null {
  const { picture, night } = live;
  if (!picture) return null;
  const { projection } = picture;
  const anchor = projection.anchorMm;
  if (grip === "rim") {
    const start = distance(anchor, at);
    const radius = projection.radiusMm;
    return follows((to) => live.preview((job) => setRimRadius(job, radius + distance(anchor, to) - start)));
  }
  if (grip === "turn") {
    const { turnDeg } = night.view;
    return follows((to) =>
      live.preview((job) => setView(job, { turnDeg: turnDeg + sweptDeg(anchor, at, to) })),
    );
  }
  const { view } = night;
  return follows((to) => {
    const dragged = draggedView(projection, view, at, to);
    if (dragged) live.preview((job) => setView(job, dragged));
  });
}

/** The keyboard's way to what can be dragged. */
export function key(grip: string, event: KeyboardEvent): boolean {
  const way = arrow(event);
  if (way === null || !live.picture) return false;
  const { view, field } = live.night;
  const step = event.shiftKey ? DEG_STRIDE : DEG_STEP;
  if (grip === "rim") {
    const radius = field.radiusMm ?? live.picture.projection.radiusMm;
    const by = (way[0] || way[1]) * RIM_STEP_MM * (event.shiftKey ? DEG_STRIDE : 1);
    return studio.run((job) => setRimRadius(job, radius + by));
  }
  if (grip === "turn") {
    // The arrow to the right turns the sky clockwise as seen on the screen.
    const turn = (way[0] || way[1]) * step * xSign(desk.side);
    return studio.run((job) => setView(job, { turnDeg: view.turnDeg + turn }));
  }
  if (grip === "centre") return studio.run((job) => setView(job, pushed(way, step)));
  return false;
}

/** The sky pushed so many degrees on the screen, as if dragged there. */
function pushed([dx, dy]: [number, number], deg: number): { azimuthDeg: number; altitudeDeg: number } {
  const { projection } = live.picture!;
  const [x, y] = projection.anchorMm;
  const mm =
    (projection.radiusMm / Math.tan((projection.halfAngleDeg * Math.PI) / 360)) *
    Math.tan((deg * Math.PI) / 360);
  const to: PointMm = [x + dx * xSign(desk.side) * mm, y + dy * mm];
  return draggedView(projection, live.night.view, [x, y], to) ?? live.night.view;
}

function follows(move: (to: PointMm) => void): PlanDrag {
  return { move, end: () => live.commit(), cancel: () => live.cancel() };
}

const distance = (a: PointMm, b: PointMm): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
