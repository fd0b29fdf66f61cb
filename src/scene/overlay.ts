import { ceilingHeightMm } from "../job/assumed.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Hole } from "../pattern/types.ts";
import type { Catalog } from "../sky/types.ts";
import { toScreen, type Camera } from "./camera.ts";
import type { SceneSource } from "./scene.ts";
import { isHidden, isInside, makeRoom } from "./room.ts";

/** Names of stars are shown down to this magnitude. */
const NAMED_TO = 2;
/** A figure is named when this part of its stars has a strand. */
const NAMED_SHARE = 0.6;

export interface OverlayLine {
  figure: string;
  from: PointMm;
  to: PointMm;
}
export interface OverlayLabel {
  kind: "figure" | "star" | "body";
  text: string;
  at: PointMm;
}

/** Figures and names over a ceiling, from the holes as punched. Points in mm on the plan. */
export interface Overlay {
  lines: OverlayLine[];
  labels: OverlayLabel[];
}

/** Which hole shows each star, its own or the one it was merged into. */
function holesByStar(holes: readonly Hole[]): Map<number, Hole> {
  const byStar = new Map<number, Hole>();
  for (const hole of holes) {
    for (const what of hole.merged) if (typeof what === "number") byStar.set(what, hole);
  }
  for (const hole of holes) if (hole.star !== null) byStar.set(hole.star, hole);
  return byStar;
}

/** Figure lines between the holes of their stars, names of figures, bright stars and bodies. */
export function makeOverlay(holes: readonly Hole[], catalog: Pick<Catalog, "figures">): Overlay {
  const byStar = holesByStar(holes);
  const lines: OverlayLine[] = [];
  const labels: OverlayLabel[] = [];
  for (const figure of catalog.figures) {
    const stars = [...new Set(figure.lines.flat())];
    const placed = stars.flatMap((star) => byStar.get(star) ?? []);
    for (const chain of figure.lines) {
      chain.slice(1).forEach((star, i) => {
        const from = byStar.get(chain[i]!);
        const to = byStar.get(star);
        if (!from || !to || from === to) return;
        lines.push({ figure: figure.abbreviation, from: [from.xMm, from.yMm], to: [to.xMm, to.yMm] });
      });
    }
    if (placed.length > 1 && placed.length >= NAMED_SHARE * stars.length) {
      const x = placed.reduce((sum, h) => sum + h.xMm, 0) / placed.length;
      const y = placed.reduce((sum, h) => sum + h.yMm, 0) / placed.length;
      labels.push({ kind: "figure", text: figure.name, at: [x, y] });
    }
  }
  const brightest = [...holes].sort((a, b) => (a.magnitude ?? 99) - (b.magnitude ?? 99) || a.id - b.id);
  for (const hole of brightest) {
    const body = hole.kind === "moon" || hole.kind === "planet";
    if (hole.name === "" || !(body || (hole.magnitude !== null && hole.magnitude <= NAMED_TO))) continue;
    labels.push({ kind: body ? "body" : "star", text: hole.name, at: [hole.xMm, hole.yMm] });
  }
  return { lines, labels };
}

const escapeXml = (text: string): string =>
  text
    .replace(/[\u0000-\u001f]/g, " ") // eslint-disable-line no-control-regex -- XML has no room for them
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/>/g, "&gt;")
    .replace(/"/g, "&quot;");

interface Box {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

/** A place for a word beside its star (a figure's over its middle) that no other word has; null if none is free. */
function freeBox(
  [x, y]: PointMm,
  width: number,
  size: number,
  figure: boolean,
  taken: readonly Box[],
): Box | null {
  const gap = 0.7 * size;
  const corners: PointMm[] = figure
    ? [
        [x - width / 2, y + size / 2],
        [x - width / 2, y + 2 * size],
        [x - width / 2, y - size],
      ]
    : [
        [x + gap, y - gap / 2],
        [x + gap, y + gap + size / 2],
        [x - gap - width, y - gap / 2],
        [x - gap - width, y + gap + size / 2],
      ];
  for (const [x0, y1] of corners) {
    const box = { x0, y0: y1 - size, x1: x0 + width, y1 };
    const hit = taken.some((t) => box.x0 < t.x1 && t.x0 < box.x1 && box.y0 < t.y1 && t.y0 < box.y1);
    if (!hit) return box;
  }
  return null;
}

/** Where a point of the ceiling is on the picture; null outside the room, behind the eye or round a corner. */
export function picturePlace(source: SceneSource, camera: Camera): (at: PointMm) => PointMm | null {
  const room = makeRoom(source.ceiling, ceilingHeightMm(source.job.ceiling));
  return ([x, y]) =>
    isInside(room, x, y) && !isHidden(room, camera, x, y) ? toScreen(camera, x, y, camera.ceilingMm) : null;
}

/** The overlay in perspective, as an SVG the size of the picture. Nothing off the picture or round a corner. */
export function overlaySvg(overlay: Overlay, source: SceneSource, camera: Camera): string {
  const place = picturePlace(source, camera);
  const em = camera.heightPx / 55;
  const onPicture = ([x, y]: PointMm, pad: number): boolean =>
    x >= pad && y >= pad && x <= camera.widthPx - pad && y <= camera.heightPx - pad;
  const number = (value: number): string => value.toFixed(1);
  const parts: string[] = [];
  for (const line of overlay.lines) {
    const a = place(line.from);
    const b = place(line.to);
    if (a === null || b === null) continue;
    const length = Math.sqrt((b[0] - a[0]) * (b[0] - a[0]) + (b[1] - a[1]) * (b[1] - a[1]));
    const gap = em * 0.45;
    if (length < 2.5 * gap) continue;
    const ux = ((b[0] - a[0]) / length) * gap;
    const uy = ((b[1] - a[1]) / length) * gap;
    parts.push(
      `<path d="M${number(a[0] + ux)} ${number(a[1] + uy)}L${number(b[0] - ux)} ${number(b[1] - uy)}"/>`,
    );
  }
  const texts: string[] = [];
  const taken: Box[] = [];
  const figuresLast = [...overlay.labels].sort(
    (a, b) => Number(a.kind === "figure") - Number(b.kind === "figure"),
  );
  for (const label of figuresLast) {
    const at = place(label.at);
    if (at === null || !onPicture(at, em)) continue;
    const figure = label.kind === "figure";
    const size = figure ? em : 0.85 * em;
    const words = figure ? label.text.toUpperCase() : label.text;
    const width = words.length * size * (figure ? 0.86 : 0.6);
    const box = freeBox(at, width, size, figure, taken);
    if (box === null) continue;
    taken.push(box);
    const fill = { figure: "#8fa3c8", star: "#c9d3e6", body: "#f0d9a8" }[label.kind];
    const spacing = figure ? ` letter-spacing="${number(em * 0.18)}"` : "";
    texts.push(
      `<text x="${number(box.x0)}" y="${number(box.y1)}" font-size="${number(size)}" fill="${fill}" fill-opacity="0.85"${spacing}>${escapeXml(words)}</text>`,
    );
  }
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${camera.widthPx}" height="${camera.heightPx}">` +
    `<g fill="none" stroke="#7f97c8" stroke-opacity="0.6" stroke-width="${number(Math.max(1, em / 14))}">${parts.join("")}</g>` +
    `<g font-family="DejaVu Sans">${texts.join("")}</g></svg>`
  );
}
