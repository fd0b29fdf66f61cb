import { compassPoint } from "../../../choose/words.ts";
import { desk } from "../../state/desk.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import type { Part } from "../../stage/part.ts";
import { live } from "./sky/live.svelte.ts";
import { nightDesk } from "./nightDesk.svelte.ts";
import NightsPanel from "./wall/NightsPanel.svelte";
import SceneCover from "./seen/SceneCover.svelte";
import SeenPanel from "./seen/SeenPanel.svelte";
import SkyLayer from "./sky/SkyLayer.svelte";
import SkyOverlay from "./sky/SkyOverlay.svelte";
import { key, press } from "./tools.ts";
import ViewPanel from "./sky/ViewPanel.svelte";
import WallCover from "./wall/WallCover.svelte";
import WhenPanel from "./when/WhenPanel.svelte";
import WishPanel from "./wish/WishPanel.svelte";
import { wishForm } from "./wish/wishForm.svelte.ts";
import { momentWords } from "./words.ts";

/** Choosing the sky: where and when, how it lies on the ceiling, one night beside another, what will be seen. */
export const nightPart: Part = {
  id: "night",
  sections: [
    { id: "when", title: "Where and when", panel: WhenPanel, summary: () => momentWords(live.night) },
    { id: "view", title: "Which part of the sky", panel: ViewPanel, summary: viewSummary },
    { id: "wish", title: "Find a night", panel: WishPanel, summary: wishSummary },
    { id: "nights", title: "Nights", panel: NightsPanel, summary: nightsSummary },
    {
      id: "seen",
      title: "How it will look",
      panel: SeenPanel,
      summary: () => `from ${nightDesk.seatNow?.name ?? ""}`,
    },
  ],
  layer: SkyLayer,
  overlay: SkyOverlay,
  cover,
  press,
  key,
};

function cover() {
  if (!studio.ready) return null;
  if (desk.section === "seen") return SceneCover;
  return desk.section === "nights" && nightDesk.wall && nightDesk.beside.length >= 2 ? WallCover : null;
}

function viewSummary(): string {
  const { azimuthDeg, altitudeDeg } = live.night.view;
  return altitudeDeg >= 89.5
    ? "straight up"
    : `${compassPoint(azimuthDeg)}, ${Math.round(altitudeDeg)}° high`;
}

function nightsSummary(): string {
  const count = studio.job.sky.options.length;
  return count === 1 ? "1 night" : `${count} nights`;
}

function wishSummary(): string {
  const wishes = wishForm.figures.length + wishForm.bodies.length + (wishForm.wall === null ? 0 : 1);
  return wishes === 0 ? "by what it shows" : `${wishes} asked for`;
}
