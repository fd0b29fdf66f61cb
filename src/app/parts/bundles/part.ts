import { about, type Subject } from "../../../job/codes.ts";
import { studio } from "../../state/studio.svelte.ts";
import type { Part } from "../../stage/part.ts";
import BundlesOverlay from "../../stage/engines/BundlesOverlay.svelte";
import EnginesPanel from "./EnginesPanel.svelte";
import LightPanel from "./LightPanel.svelte";
import { sharing } from "../../work/sharing.svelte.ts";
import SharingPanel from "./SharingPanel.svelte";
import TailsPanel from "./TailsPanel.svelte";
import { hint, key, press, tap } from "./tools.ts";
import VoidPanel from "./VoidPanel.svelte";

/** From holes to light engines: who lights what, along which way, with which strand. */
export const bundlesPart: Part = {
  id: "bundles",
  sections: [
    {
      id: "engines",
      title: "Engines",
      panel: EnginesPanel,
      summary: () => studio.job.bundles.engines.map(({ letter }) => letter).join(", ") || "none yet",
      faulty: () => faulty("engine place", "engines"),
    },
    {
      id: "sharing",
      title: "Tiles to engines",
      panel: SharingPanel,
      summary: fixedWords,
      faulty: () => faulty("sharing"),
    },
    {
      id: "void",
      title: "Void and runs",
      panel: VoidPanel,
      summary: () => {
        const { length } = studio.job.bundles.obstacles;
        return length === 1 ? "1 obstacle" : `${length} obstacles`;
      },
      faulty: () => faulty("void"),
    },
    {
      id: "light",
      title: "Light",
      panel: LightPanel,
      summary: () => `${studio.job.strands.lossDbPerM} dB/m`,
    },
    {
      id: "tails",
      title: "Tails and strands",
      panel: TailsPanel,
      summary: () => (sharing.bundles ? `${sharing.bundles.tails.length} tails` : ""),
    },
  ],
  overlay: BundlesOverlay,
  press,
  tap,
  key,
  hint,
};

const faulty = (...subjects: Subject[]): boolean => about(sharing.bundles?.faults, ...subjects).length > 0;

function fixedWords(): string {
  const fixed = Object.keys(studio.job.bundles.fixed).length;
  return fixed === 0 ? studio.job.bundles.mode : `${studio.job.bundles.mode}, ${fixed} fixed`;
}
