import type { Margins } from "./camera.ts";

/** Below this width the drawing is a phone's: smaller frame, fewer words. */
export const NARROW_PX = 560;

/** Room for the compass frame, the walls' names and what lies over the drawing. */
export function marginsFor(widthPx: number, heightPx: number): Margins {
  if (widthPx < NARROW_PX) return { top: 60, right: 58, bottom: 92, left: 58 };
  const tall = heightPx > 620;
  return { top: tall ? 150 : 96, right: 108, bottom: tall ? 138 : 116, left: 108 };
}
