import type { PointMm } from "../geometry/types.ts";
import type { Hole } from "../pattern/types.ts";
import type { Camera } from "./camera.ts";
import { picturePlace, type Overlay } from "./overlay.ts";
import type { SceneSource } from "./scene.ts";

/** Figure lines are drawn between stars of this magnitude or brighter: those an eye finds first. */
const LINED_TO = 4;
const MOST_NAMES = 5;
/** Two names stand at least this far apart, as a part of the picture's height. */
const APART = 0.09;
/** Nothing is written nearer to the picture's edge than this part of its height. */
const EDGE = 0.05;

/** A few words and faint lines over a small picture. Points from its top left corner, 0 to 1 across and down. */
export interface PictureMarks {
  lines: [PointMm, PointMm][];
  names: { text: string; at: PointMm }[];
}

/** The brightest named stars and bodies of a picture and the lines between bright stars of its figures. */
export function pictureMarks(overlay: Overlay, source: SceneSource, camera: Camera): PictureMarks {
  const place = picturePlace(source, camera);
  const aspect = camera.widthPx / camera.heightPx;
  const onPicture = (mm: PointMm): PointMm | null => {
    const at = place(mm);
    if (at === null) return null;
    const [x, y] = [at[0] / camera.widthPx, at[1] / camera.heightPx];
    return x * aspect > EDGE && (1 - x) * aspect > EDGE && y > EDGE && y < 1 - EDGE ? [x, y] : null;
  };
  const key = ([x, y]: PointMm): string => `${x},${y}`;
  const bright = new Set(source.pattern.holes.filter(isBright).map((hole) => key([hole.xMm, hole.yMm])));
  const lines: PictureMarks["lines"] = [];
  for (const line of overlay.lines) {
    if (!bright.has(key(line.from)) || !bright.has(key(line.to))) continue;
    const [from, to] = [onPicture(line.from), onPicture(line.to)];
    if (from && to) lines.push([from, to]);
  }
  const names: PictureMarks["names"] = [];
  const bodiesFirst = [...overlay.labels].sort(
    (a, b) => Number(b.kind === "body") - Number(a.kind === "body"),
  );
  for (const label of bodiesFirst) {
    const at = label.kind === "figure" ? null : onPicture(label.at);
    if (at === null || names.length === MOST_NAMES) continue;
    const near = names.some((n) => {
      const [dx, dy] = [(n.at[0] - at[0]) * aspect, n.at[1] - at[1]];
      return Math.abs(dy) < APART && Math.abs(dx) < 2.2 * APART;
    });
    if (!near) names.push({ text: label.text, at });
  }
  return { lines, names };
}

function isBright(hole: Hole): boolean {
  return hole.magnitude !== null && hole.magnitude <= LINED_TO;
}
