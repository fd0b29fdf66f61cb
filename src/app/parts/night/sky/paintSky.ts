import type { PointMm } from "../../../../geometry/types.ts";
import { type PlanView, type PointPx, toPlan, toScreen, xSign } from "../../../stage/planView.ts";
import { NARROW_PX } from "../../../stage/margins.ts";
import type { SkyLabel, SkyPicture } from "../worker/api.ts";
import { maskOf, paintDust } from "./paintDust.ts";
import { toMm } from "../../../../geometry/um.ts";

/** Colours of the drawing, as CSS wants them; `starRgb` and `glowRgb` as numbers. */
export interface SkyColours {
  star: string;
  starRgb: [number, number, number];
  glowRgb: [number, number, number];
  line: string;
  name: string;
  figureName: string;
  body: string;
  ground: string;
  night: boolean;
}

/** Stars brighter than this are drawn as discs, fainter ones as dust; thousandths of a magnitude. */
const DISC_TO_MILLI = 4300;
const GLOW_TO_MILLI = 1600;
const NAME_PX = 12.5;
/** On a phone's drawing names and stars are smaller, to leave room for one another. */
const SMALL_DRAWING = 0.84;
const BODY_PX = 5;
/** How far up or down a name goes for a free place: one in the middle of its stars, and one beside its star. */
const CENTRED_OFF_PX = [0, 17, -17, 34, -34];
const BESIDE_OFF_PX = [0, 16];
/** Left, top, right and bottom on the screen. */
type Box = [number, number, number, number];

/**
 * Paints a sky on the plan as the planView sees it; `ratio` device pixels to a CSS pixel. While it moves names go
 * without their halo, which alone costs as much as all the stars, and lines are a hair thinner: at one pixel
 * a stroke costs half.
 */
export function paintSky({
  pen,
  picture,
  planView,
  ratio,
  outlineMm,
  zonesMm,
  colours,
  moving,
}: {
  pen: CanvasRenderingContext2D;
  picture: SkyPicture;
  planView: PlanView;
  ratio: number;
  outlineMm: readonly PointMm[];
  /** Corners of what is drawn over the sky: no name is put where one of these would hide it. */
  zonesMm: readonly (readonly PointMm[])[];
  colours: SkyColours;
  moving: boolean;
}): void {
  const room = roomPath(planView, outlineMm);
  pen.setTransform(1, 0, 0, 1, 0, 0);
  paintDust({
    pen,
    picture,
    planView,
    ratio,
    fromMilli: DISC_TO_MILLI,
    rgb: colours.starRgb,
    roomMask: roomMask(room, planView, ratio),
  });
  pen.save();
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clip(room);
  pen.globalCompositeOperation = "destination-over";
  paintGlow(pen, picture, planView, ratio, colours);
  pen.globalCompositeOperation = "source-over";
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  paintLines(pen, picture, planView, colours, moving ? 1 : 1.1);
  paintDiscs(pen, picture, planView, colours);
  paintBodies(pen, picture, planView, colours);
  paintNames(pen, picture, { planView, outlineMm, zonesMm, colours, halo: !moving });
  pen.restore();
}

function roomPath(planView: PlanView, outlineMm: readonly PointMm[]): Path2D {
  const path = new Path2D();
  trace(
    path,
    outlineMm.map((p) => toScreen(planView, p)),
  );
  path.closePath();
  return path;
}

let masked: { planView: PlanView; ratio: number; inside: Uint32Array } | null = null;

/** Which pixels lie in the room, as `paintDust` wants it: kept as long as the drawing stands still. */
function roomMask(room: Path2D, planView: PlanView, ratio: number): Uint32Array {
  if (masked?.planView === planView && masked.ratio === ratio) return masked.inside;
  const canvas = new OffscreenCanvas(
    Math.max(1, Math.round(planView.widthPx * ratio)),
    Math.max(1, Math.round(planView.heightPx * ratio)),
  );
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  if (!pen) return new Uint32Array();
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.fill(room);
  const inside = maskOf(pen.getImageData(0, 0, canvas.width, canvas.height).data);
  masked = { planView, ratio, inside };
  return inside;
}

/** Screen radius of a star on the drawing: a step of brightness is a step of size, whatever the zoom. */
export function starRadiusPx(magnitudeMilli: number, pxPerMm: number): number {
  const zoom = Math.min(2.2, Math.max(0.6, Math.sqrt(pxPerMm / 0.13)));
  return zoom * Math.max(0.85, 4.7 - magnitudeMilli / 1150);
}

function paintDiscs(
  pen: CanvasRenderingContext2D,
  picture: SkyPicture,
  planView: PlanView,
  colours: SkyColours,
): void {
  const { stars, count } = picture;
  pen.fillStyle = colours.star;
  for (let i = 0; i < 3 * count; i += 3) {
    const milli = stars[i + 2]!;
    if (milli > DISC_TO_MILLI) break;
    const [x, y] = toScreen(planView, [toMm(stars[i]!), toMm(stars[i + 1]!)]);
    const radius = starRadiusPx(milli, planView.pxPerMm);
    if (colours.night && milli < GLOW_TO_MILLI) {
      pen.globalAlpha = 0.13;
      disc(pen, x, y, radius * 2.8);
    }
    pen.globalAlpha = 1;
    disc(pen, x, y, radius);
  }
  pen.globalAlpha = 1;
}

const glowCanvas = typeof document === "undefined" ? null : document.createElement("canvas");

/** The Milky Way as a smooth veil: its few nodes stretched over the plan. */
function paintGlow(
  pen: CanvasRenderingContext2D,
  picture: SkyPicture,
  planView: PlanView,
  ratio: number,
  colours: SkyColours,
): void {
  const { columns, rows, level, box } = picture.glow;
  if (columns === 0 || !glowCanvas) return;
  if (glowCanvas.width !== columns) glowCanvas.width = columns;
  if (glowCanvas.height !== rows) glowCanvas.height = rows;
  const small = glowCanvas.getContext("2d");
  if (!small) return;
  const image = small.createImageData(columns, rows);
  const [red, green, blue] = colours.glowRgb;
  const most = colours.night ? 0.55 : 0.6;
  for (let i = 0; i < level.length; i++) {
    image.data.set([red, green, blue, level[i]! * most], 4 * i);
  }
  small.putImageData(image, 0, 0);
  const [left, top] = toScreen(planView, [toMm(box.minX), toMm(box.maxY)]);
  const perColumn = (xSign(planView.side) * toMm(box.maxX - box.minX) * planView.pxPerMm) / columns;
  const perRow = (toMm(box.maxY - box.minY) * planView.pxPerMm) / rows;
  pen.setTransform(ratio * perColumn, 0, 0, ratio * perRow, ratio * left, ratio * top);
  pen.imageSmoothingEnabled = true;
  pen.drawImage(glowCanvas, 0, 0);
}

function paintLines(
  pen: CanvasRenderingContext2D,
  picture: SkyPicture,
  planView: PlanView,
  colours: SkyColours,
  widthPx: number,
): void {
  pen.strokeStyle = colours.line;
  pen.lineWidth = widthPx;
  pen.beginPath();
  let from = 0;
  for (const end of picture.ends) {
    for (let i = from; i < end; i += 2) {
      const [x, y] = toScreen(planView, [picture.lines[i]!, picture.lines[i + 1]!]);
      if (i === from) pen.moveTo(x, y);
      else pen.lineTo(x, y);
    }
    from = end;
  }
  pen.stroke();
  pen.strokeStyle = colours.body;
  pen.setLineDash([9, 5]);
  pen.lineWidth = 1.4;
  pen.beginPath();
  for (const run of picture.horizon)
    trace(
      pen,
      run.map((p) => toScreen(planView, p)),
    );
  pen.stroke();
  pen.setLineDash([]);
}

function paintBodies(
  pen: CanvasRenderingContext2D,
  picture: SkyPicture,
  planView: PlanView,
  colours: SkyColours,
): void {
  for (const { body, atMm } of picture.bodiesMm) {
    const [x, y] = toScreen(planView, atMm);
    pen.fillStyle = colours.body;
    disc(pen, x, y, body.name === "moon" ? BODY_PX * 1.6 : BODY_PX);
    if (body.name !== "moon") continue;
    // The dark part of the Moon's disc, as a shadow sliding over it.
    pen.save();
    pen.beginPath();
    pen.arc(x, y, BODY_PX * 1.6, 0, 2 * Math.PI);
    pen.clip();
    pen.fillStyle = colours.ground;
    disc(pen, x + 3.2 * BODY_PX * body.lit, y, BODY_PX * 1.6);
    pen.restore();
  }
}

function paintNames(
  pen: CanvasRenderingContext2D,
  picture: SkyPicture,
  {
    planView,
    outlineMm,
    zonesMm,
    colours,
    halo,
  }: {
    planView: PlanView;
    outlineMm: readonly PointMm[];
    zonesMm: readonly (readonly PointMm[])[];
    colours: SkyColours;
    halo: boolean;
  },
): void {
  const taken = zonesMm.map((corners) => boxRound(corners.map((p) => toScreen(planView, p))));
  const size = planView.widthPx < NARROW_PX ? SMALL_DRAWING : 1;
  const sans = `${NAME_PX * size}px "Source Sans 3", sans-serif`;
  const inRoom = (x: number, y: number): boolean => isInside(outlineMm, toPlan(planView, [x, y]));
  const put = (text: string, [x, y]: PointPx, fill: string, font: string, centred: boolean): void => {
    pen.font = font;
    const width = pen.measureText(text).width;
    const free = (box: Box): boolean =>
      [box[0] + 3, box[2] - 3].every((x) => inRoom(x, box[1] + 2) && inRoom(x, box[3])) &&
      !taken.some((t) => t[0] < box[2] && box[0] < t[2] && t[1] < box[3] && box[1] < t[3]);
    const places = centred
      ? CENTRED_OFF_PX.map((off): PointPx => [x - width / 2, y - 7 + off])
      : BESIDE_OFF_PX.flatMap((off): PointPx[] => [
          [x + 9, y - 15 + off],
          [x - 9 - width, y - 15 + off],
        ]);
    const box = places.map(([left, top]): Box => [left - 3, top, left + width + 3, top + 15]).find(free);
    if (!box) return;
    taken.push(box);
    const [left, top] = [box[0] + 3, box[1]];
    pen.strokeStyle = colours.ground;
    pen.lineWidth = 3;
    pen.lineJoin = "round";
    if (halo) pen.strokeText(text, left, top + 11.5);
    pen.fillStyle = fill;
    pen.fillText(text, left, top + 11.5);
  };
  for (const { body, atMm } of picture.bodiesMm) {
    if (!isInside(outlineMm, atMm)) continue;
    put(capital(body.name), toScreen(planView, atMm), colours.body, `600 ${sans}`, false);
  }
  const looks: Record<SkyLabel["kind"], { fill: string; font: string; centred: boolean }> = {
    cardinal: { fill: colours.body, font: sans, centred: true },
    star: { fill: colours.name, font: sans, centred: false },
    figure: {
      fill: colours.figureName,
      font: `italic ${(NAME_PX + 2.5) * size}px "EB Garamond", serif`,
      centred: true,
    },
  };
  for (const kind of ["cardinal", "star", "figure"] as const) {
    const { fill, font, centred } = looks[kind];
    for (const label of picture.labels) {
      if (label.kind !== kind || !isInside(outlineMm, label.atMm)) continue;
      const text = kind === "cardinal" ? `${label.text}, horizon` : label.text;
      put(text, toScreen(planView, label.atMm), fill, font, centred);
    }
  }
}

function boxRound(points: readonly PointPx[]): Box {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/** Whether a point lies in the room; names outside it would lie over walls and words. */
function isInside(outlineMm: readonly PointMm[], [x, y]: PointMm): boolean {
  let inside = false;
  outlineMm.forEach(([ax, ay], i) => {
    const [bx, by] = outlineMm[(i + 1) % outlineMm.length]!;
    if (ay > y !== by > y && x < ax + ((bx - ax) * (y - ay)) / (by - ay)) inside = !inside;
  });
  return inside;
}

const capital = (word: string): string => word.charAt(0).toUpperCase() + word.slice(1);

function trace(pen: CanvasPath, points: PointPx[]): void {
  points.forEach(([x, y], i) => (i === 0 ? pen.moveTo(x, y) : pen.lineTo(x, y)));
}

function disc(pen: CanvasRenderingContext2D, x: number, y: number, radius: number): void {
  pen.beginPath();
  pen.arc(x, y, radius, 0, 2 * Math.PI);
  pen.fill();
}
