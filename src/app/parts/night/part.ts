import { compassPoint } from "../../../choose/words.ts";
import type { Part } from "../part.ts";
import { live } from "./live.svelte.ts";
import SkyLayer from "./SkyLayer.svelte";
import SkyOverlay from "./SkyOverlay.svelte";
import { key, press } from "./tools.ts";
import ViewPanel from "./ViewPanel.svelte";
import WhenPanel from "./WhenPanel.svelte";
import { momentWords } from "./words.ts";

/** Choosing the sky: where and when, how it lies on the ceiling, one night beside another, what will be seen. */
export const nightPart: Part = {
  id: "night",
  sections: [
    { id: "when", title: "Where and when", panel: WhenPanel, summary: () => momentWords(live.night) },
    { id: "view", title: "How it lies", panel: ViewPanel, summary: viewSummary },
  ],
  layer: SkyLayer,
  overlay: SkyOverlay,
  press,
  key,
};

function viewSummary(): string {
  const { azimuthDeg, altitudeDeg } = live.night.view;
  return altitudeDeg >= 89.5
    ? "straight up"
    : `${compassPoint(azimuthDeg)}, ${Math.round(altitudeDeg)}° high`;
}
