import {
  CAST_LIMIT_MM,
  castThrough,
  checkCast,
  type FourMarks,
  type PicturePx,
} from "../../../../cast/cast.ts";
import { cornersOf, drawnOn } from "../../../../cast/corners.ts";
import { scaleByCard, scaleByLines, type ScreenScale, screenOffMm } from "../../../../cast/screen.ts";
import { toPicture } from "../../../../photo/lens.ts";
import { FACTS } from "../../../../trade/facts.ts";
import { atBench } from "../atBench.svelte.ts";
import { keepLight, keptLight } from "./kept.ts";
import { toMm } from "../../../../geometry/um.ts";

/** The frame to begin with: by the pixel of 1/96 in that browsers take for granted and no screen has. */
const FIRST_CARD_PX = (FACTS.cardWidthMm.value * 96) / 25.4;
/** The lines to be measured take so much of the screen. */
const LINE_SHARE = 0.8;
/** Beside the edge of a tile that is larger than the screen, so that it is seen. */
const BESIDE_PX = 24;

export type Way = "screen" | "projector";

const KEPT = keptLight();

/**
 * A tile shown at its true size: on a screen laid flat, or thrown on the tile itself. Nothing of it is kept with the job;
 * the device remembers how it was set up, and what was checked has to be checked again.
 */
class AtLight {
  way = $state<Way>("screen");
  /** Of the screen in CSS pixels, as large as it is now. */
  widthPx = $state(0);
  heightPx = $state(0);
  /** Nothing is led by anything that may be off by more. */
  limitMm = $state(KEPT.limitMm ?? CAST_LIMIT_MM);
  /** How the screen is made true, and how large the frame for the card is drawn. */
  by = $state<"card" | "line">(KEPT.by ?? "card");
  cardPx = $state.raw(
    KEPT.cardPx ?? {
      widthPx: FIRST_CARD_PX,
      heightPx: (FIRST_CARD_PX * FACTS.cardHeightMm.value) / FACTS.cardWidthMm.value,
    },
  );
  scale = $state.raw<ScreenScale | null>(KEPT.scale ?? null);
  /** Upper left, upper right, lower right, lower left; null until the tile has been laid under the light. */
  marks = $state.raw<FourMarks | null>(null);
  crossPx = $state.raw<PicturePx | null>(null);
  measuredMm = $state.raw<[number | null, number | null]>([null, null]);
  /** The settings are put away and the light leads from hole to hole. */
  leading = $state(false);

  readonly corners = $derived(atBench.tile ? cornersOf(atBench.tile, atBench.side) : null);
  readonly lens = $derived(
    this.corners && this.marks && this.widthPx > 0
      ? castThrough({ widthPx: this.widthPx, heightPx: this.heightPx }, this.corners, this.marks)
      : null,
  );
  readonly check = $derived(
    this.lens && this.corners ? checkCast(this.lens, this.corners, this.crossPx, this.measuredMm) : null,
  );
  readonly longestMm = $derived.by(() => {
    const { tile } = atBench;
    return tile ? toMm(Math.max(tile.box.maxX - tile.box.minX, tile.box.maxY - tile.box.minY)) : 0;
  });
  /** What a hole may lie off its place, mm; null as long as that is not known. */
  readonly offMm = $derived(
    this.way === "projector"
      ? (this.check?.residualMm ?? null)
      : this.scale && screenOffMm(this.scale, this.longestMm),
  );
  readonly good = $derived(this.offMm !== null && this.offMm <= this.limitMm);

  #pixelRatio = window.devicePixelRatio;

  readonly isLarger = $derived.by(() => {
    const { tile } = atBench;
    if (!tile || !this.scale) return false;
    const { minX, maxX, minY, maxY } = tile.box;
    const { acrossPxPerMm, upPxPerMm } = this.scale;
    return toMm(maxX - minX) * acrossPxPerMm > this.widthPx || toMm(maxY - minY) * upPxPerMm > this.heightPx;
  });

  /** Where a place of the tile (mm from its datum, seen from above) is shown; null where it is not on the picture. */
  place(xMm: number, yMm: number): { x: number; y: number } | null {
    const { tile, side, next } = atBench;
    if (!tile) return null;
    const drawn = drawnOn(tile, side);
    const at = drawn(xMm, yMm);
    if (this.way === "projector") {
      const px = this.lens && toPicture(this.lens, at.xMm, at.yMm);
      return px && { x: px.xPx, y: px.yPx };
    }
    if (!this.scale) return null;
    const { acrossPxPerMm, upPxPerMm } = this.scale;
    const [w, h] = [tile.box.maxX - tile.box.minX, tile.box.maxY - tile.box.minY].map(toMm) as [
      number,
      number,
    ];
    // a tile larger than the screen is pushed along in whole halves of the screen, so that it rests while one half is worked
    const seen = next ? drawn(next.xMm, next.yMm) : { xMm: w / 2, yMm: h / 2 };
    return {
      x: at.xMm * acrossPxPerMm - pushed(seen.xMm * acrossPxPerMm, w * acrossPxPerMm, this.widthPx),
      y: at.yMm * upPxPerMm - pushed(seen.yMm * upPxPerMm, h * upPxPerMm, this.heightPx),
    };
  }

  /** The device remembers how it is set up. */
  keep(): void {
    const { limitMm, by, cardPx, scale, widthPx, heightPx } = this;
    const at = this.marks ?? (this.#marksFit() ? KEPT.marks!.at : null);
    keepLight({ limitMm, by, cardPx, scale, marks: at && { widthPx, heightPx, at } });
  }

  /** The marks where they lay when the device was last set up, if the picture is as large as then. */
  recallMarks(): void {
    if (!this.#marksFit()) return this.layMarks();
    this.marks = KEPT.marks!.at;
    this.again();
  }

  #marksFit(): boolean {
    return KEPT.marks?.widthPx === this.widthPx && KEPT.marks.heightPx === this.heightPx;
  }

  /** Puts the four marks where the tile may lie, to be dragged from there. */
  layMarks(): void {
    const [w, h] = [this.widthPx, this.heightPx];
    const side = Math.min(w, h) * 0.3;
    const at = (x: number, y: number): PicturePx => ({ xPx: w / 2 + x * side, yPx: h / 2 + y * side });
    this.marks = [at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)];
    this.again();
  }

  /** The tile or a mark has moved: what was checked holds no longer. */
  again(): void {
    this.crossPx = null;
    this.leading = false;
  }

  /** The window has another size, and the picture lies elsewhere; or the page another zoom, and a pixel another size. */
  moved(): void {
    if (this.way === "projector") this.again();
    else if (window.devicePixelRatio !== this.#pixelRatio) {
      this.scale = null;
      this.leading = false;
    }
    this.#pixelRatio = window.devicePixelRatio;
  }

  moveMark(i: number, to: PicturePx): void {
    if (this.marks) this.marks = this.marks.with(i, to) as FourMarks;
    this.again();
  }

  /** The white cross that is cast lies on the tile's own. */
  crossIsThere(): void {
    const { lens } = this;
    if (lens) this.crossPx = toPicture(lens, lens.originMm[0], lens.originMm[1]);
  }

  readonly linesPx = $derived({ across: this.widthPx * LINE_SHARE, up: this.heightPx * LINE_SHARE });

  byCard(widthPx: number, heightPx: number): void {
    this.cardPx = { widthPx, heightPx };
    this.scale = scaleByCard(widthPx, heightPx, 1 / (window.devicePixelRatio || 1));
  }

  byLines(acrossMm: number, upMm: number): void {
    const { across, up } = this.linesPx;
    this.scale = scaleByLines({ px: across, mm: acrossMm }, { px: up, mm: upMm });
  }
}

/** By how much a picture wider than the screen is pushed aside to bring a place into sight; centred where it fits. */
function pushed(at: number, long: number, screen: number): number {
  if (long <= screen) return (long - screen) / 2;
  const step = screen / 2;
  const wanted = Math.floor(Math.max(0, at - screen / 4) / step) * step;
  return wanted === 0 ? -BESIDE_PX : Math.min(wanted, long - screen + BESIDE_PX);
}

export const atLight = new AtLight();
