import { FACTS } from "../trade/facts.ts";

/** How many pixels of a screen make a millimetre, across and up, and to what share that is known. */
export interface ScreenScale {
  acrossPxPerMm: number;
  upPxPerMm: number;
  /** The true length of anything shown differs from what is said by at most this share of it. */
  share: number;
}

/** A line on a screen is read with a rule to this. */
const RULE_MM = 0.25;

/** A drawn frame has been made as large as a card of ID-1 laid on it. `pixelPx` is the finest step of the frame. */
export function scaleByCard(widthPx: number, heightPx: number, pixelPx: number): ScreenScale {
  const acrossPxPerMm = widthPx / FACTS.cardWidthMm.value;
  const upPxPerMm = heightPx / FACTS.cardHeightMm.value;
  // laid on by eye to a pixel at either edge, on top of what the card itself may differ
  const read = Math.max((2 * pixelPx) / widthPx, (2 * pixelPx) / heightPx);
  return { acrossPxPerMm, upPxPerMm, share: read + FACTS.cardToleranceMm.value / FACTS.cardHeightMm.value };
}

/** Two drawn lines were measured with a rule. */
export function scaleByLines(
  across: { px: number; mm: number },
  up: { px: number; mm: number },
): ScreenScale {
  const share = Math.max(RULE_MM / across.mm, RULE_MM / up.mm);
  return { acrossPxPerMm: across.px / across.mm, upPxPerMm: up.px / up.mm, share };
}

/** How far a hole may be shown off its place, mm, on a tile so long. */
export const screenOffMm = ({ share }: ScreenScale, longestMm: number): number => share * longestMm;
