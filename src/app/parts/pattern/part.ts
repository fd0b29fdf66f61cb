import { formatLength } from "../../../job/units.ts";
import { studio } from "../../state/studio.svelte.ts";
import { strandsInStock } from "./commands/stock.ts";
import type { Part } from "../../stage/part.ts";
import AdvicePanel from "./AdvicePanel.svelte";
import FatePanel from "./FatePanel.svelte";
import FillerPanel from "./FillerPanel.svelte";
import HandPanel from "./HandPanel.svelte";
import LadderPanel from "./LadderPanel.svelte";
import PatternLayer from "./PatternLayer.svelte";
import PatternOverlay from "./PatternOverlay.svelte";
import SettlePanel from "./SettlePanel.svelte";
import StockPanel from "./StockPanel.svelte";
import TilesPanel from "./TilesPanel.svelte";
import { hint, key, press, tap } from "./tools.ts";

/** From the sky to the holes: strands, the rules of settling, filler, what moved, what a person decides. */
export const patternPart: Part = {
  id: "pattern",
  sections: [
    {
      id: "stock",
      title: "Strands",
      panel: StockPanel,
      summary: () => `${strandsInStock(studio.job.strands)} in ${studio.job.strands.stock.length} sizes`,
    },
    { id: "ladder", title: "Brightness scale", panel: LadderPanel, summary: ladder },
    { id: "advice", title: "Which strands to buy", panel: AdvicePanel, summary: () => "" },
    {
      id: "settle",
      title: "Placing holes",
      panel: SettlePanel,
      summary: () => {
        const { spacingMm, reachMm } = studio.job.pattern;
        return `${formatLength(spacingMm, studio.job.units)} apart, reach ${formatLength(reachMm, studio.job.units)}`;
      },
    },
    {
      id: "filler",
      title: "Faint stars",
      panel: FillerPanel,
      summary: () => `${Math.round(studio.job.pattern.deeperShare * 100)} % set aside`,
    },
    { id: "tiles", title: "Tile by tile", panel: TilesPanel, summary: perTile },
    { id: "moved", title: "Moved and left out", panel: FatePanel, summary: fates },
    { id: "hand", title: "By hand", panel: HandPanel, summary: decisions },
  ],
  layer: PatternLayer,
  overlay: PatternOverlay,
  press,
  tap,
  key,
  hint,
};

function ladder(): string {
  const { mostPerHole } = studio.job.strands;
  return mostPerHole === 1 ? "one strand in every hole" : `up to ${mostPerHole} strands in a hole`;
}

function perTile(): string {
  const per = studio.plan?.pattern.fidelity.perTile;
  return per ? `${per.least} to ${per.most} holes` : "";
}

function fates(): string {
  const f = studio.plan?.pattern.fidelity;
  return f ? `${f.moved} moved, ${f.lost} left out` : "";
}

function decisions(): string {
  const count = studio.job.pattern.byHand.length;
  return count === 0 ? "nothing" : count === 1 ? "1 decision" : `${count} decisions`;
}
