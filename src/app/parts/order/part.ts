import { about, type Subject } from "../../../job/codes.ts";
import { metresInWords } from "../../../job/units.ts";
import { formatMoney } from "../../../takeoff/money.ts";
import { desk } from "../../state/desk.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import { sharing } from "../../work/sharing.svelte.ts";
import type { Part } from "../../stage/part.ts";
import CutPlanCover from "./CutPlanCover.svelte";
import FabricPanel from "./FabricPanel.svelte";
import HoursPanel from "./HoursPanel.svelte";
import OrderOverlay from "./OrderOverlay.svelte";
import PacksPanel from "./PacksPanel.svelte";
import PricePanel from "./PricePanel.svelte";
import QuantitiesPanel from "./QuantitiesPanel.svelte";
import WeightPanel from "./WeightPanel.svelte";

/** What to buy, what it weighs, how long it takes, what it costs; and the papers that go with the job. */
export const orderPart: Part = {
  id: "order",
  sections: [
    {
      id: "fabric",
      title: "Fabric",
      panel: FabricPanel,
      summary: () => (sharing.takeoff ? metresInWords(sharing.takeoff.fabricM, studio.job.units) : ""),
      faulty: () => faulty("fabric"),
    },
    {
      id: "quantities",
      title: "Quantities",
      panel: QuantitiesPanel,
      summary: () => (sharing.takeoff ? `${sharing.takeoff.order.length} lines` : ""),
    },
    {
      id: "weight",
      title: "Weight",
      panel: WeightPanel,
      summary: () => studio.job.takeoff.grid.loadClass,
      faulty: () => faulty("weight"),
    },
    {
      id: "hours",
      title: "Hours",
      panel: HoursPanel,
      summary: () => (sharing.takeoff ? `${sharing.takeoff.hours.personH} person-hours` : ""),
      faulty: () => faulty("hours"),
    },
    {
      id: "price",
      title: "Price",
      panel: PricePanel,
      summary: () => {
        const quote = sharing.takeoff?.quote;
        return quote ? formatMoney(quote.grossMinor, quote.currency) : "";
      },
    },
    {
      id: "packs",
      title: "Packs and labels",
      panel: PacksPanel,
      summary: () => `revision ${studio.job.revision}`,
    },
  ],
  overlay: OrderOverlay,
  cover: () => (desk.section === "fabric" ? CutPlanCover : null),
};

const faulty = (subject: Subject): boolean => about(sharing.takeoff?.faults, subject).length > 0;
