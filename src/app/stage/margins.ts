import type { Margins } from "./planView.ts";

/** Below this width the drawing is a phone's: smaller frame, fewer words. */
export const NARROW_PX = 560;

/** Room for the compass frame, the walls' names and what lies over the drawing. */
export function marginsFor(widthPx: number, heightPx: number): Margins {
  if (widthPx < NARROW_PX) return { top: 100, right: 48, bottom: 104, left: 48 };
  const tall = heightPx > 560;
  return { top: tall ? 150 : 120, right: 92, bottom: tall ? 156 : 130, left: 92 };
}
