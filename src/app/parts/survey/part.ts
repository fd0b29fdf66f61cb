import { formatLength } from "../../../job/units.ts";
import { bearingReading } from "../../state/commands/bearing.ts";
import { studio } from "../../state/studio.svelte.ts";
import type { Part } from "../../stage/part.ts";
import CompassPanel from "./CompassPanel.svelte";
import GridPanel from "./GridPanel.svelte";
import QuestionsPanel from "./QuestionsPanel.svelte";
import RoomPanel from "./RoomPanel.svelte";
import SurveyOverlay from "./SurveyOverlay.svelte";
import ThingsPanel from "./ThingsPanel.svelte";
import UnderlayPanel from "./underlay/UnderlayPanel.svelte";
import TilesPanel from "./TilesPanel.svelte";
import { faultsAt } from "./faultAt.ts";
import { hint, key, press, tap } from "./tools.ts";

const faulty =
  (...paths: string[]) =>
  (): boolean =>
    paths.some((path) => faultsAt(path).length > 0);
const count = (n: number, one: string, many: string): string => (n === 1 ? `1 ${one}` : `${n} ${many}`);

/** Measuring the real ceiling: room, grid, what to keep clear, tiles, north, and the stop-or-go questions. */
export const surveyPart: Part = {
  id: "survey",
  sections: [
    {
      id: "room",
      title: "Room",
      panel: RoomPanel,
      summary: roomSummary,
      faulty: faulty("ceiling.outlineMm", "ceiling.walls", "ceiling.heightMm", "ceiling.voidMm"),
    },
    { id: "underlay", title: "Plan to trace", panel: UnderlayPanel, summary: underlaySummary },
    {
      id: "grid",
      title: "Grid and tiles",
      panel: GridPanel,
      summary: gridSummary,
      faulty: faulty("ceiling.grid"),
    },
    {
      id: "things",
      title: "No-go zones",
      panel: ThingsPanel,
      summary: () => count(studio.job.ceiling.noGo.length, "zone", "zones"),
      faulty: faulty("ceiling.noGo"),
    },
    {
      id: "tiles",
      title: "Tile uses",
      panel: TilesPanel,
      summary: tilesSummary,
      faulty: faulty("ceiling.tiles"),
    },
    { id: "compass", title: "Compass", panel: CompassPanel, summary: compassSummary },
    { id: "questions", title: "Stop or go", panel: QuestionsPanel, summary: questionsSummary },
  ],
  overlay: SurveyOverlay,
  press,
  tap,
  key,
  hint,
};

function roomSummary(): string {
  const { outlineMm } = studio.job.ceiling;
  const span = (axis: 0 | 1): string => {
    const values = outlineMm.map((p) => p[axis]);
    return formatLength(Math.max(...values) - Math.min(...values), studio.job.units);
  };
  return `${span(0)} × ${span(1)}`;
}

function underlaySummary(): string {
  const { underlay } = studio.job;
  return underlay ? (underlay.shown ? underlay.name : "hidden") : "none";
}

function gridSummary(): string {
  return count(studio.ceiling?.tiles.length ?? 0, "tile", "tiles");
}

function tilesSummary(): string {
  const uses = Object.values(studio.job.ceiling.tiles).map((t) => t.use);
  const fabric = uses.filter((u) => u === "fabric").length;
  const plain = uses.filter((u) => u === "plain").length;
  return fabric + plain === 0 ? "all for stars" : `${fabric} fabric, ${plain} plain`;
}

function compassSummary(): string {
  const { deg, magnetic } = bearingReading(studio.job);
  if (studio.job.ceiling.bearingFrom === "not-measured") return "not measured";
  return `${deg}° ${magnetic ? "magnetic" : "true"}`;
}

function questionsSummary(): string {
  const { returnAirVoid, fireRated, sprinklered, builtYear } = studio.job.ceiling.survey;
  const open =
    [returnAirVoid, fireRated, sprinklered].filter((a) => a === "unknown").length +
    (builtYear === null ? 1 : 0);
  return open === 0 ? "all answered" : `${open} open`;
}
