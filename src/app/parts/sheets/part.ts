import { desk } from "../../state/desk.svelte.ts";
import { sidesChoice } from "./commands/paper.ts";
import { studio } from "../../state/studio.svelte.ts";
import type { Part } from "../../stage/part.ts";
import { tileUnder } from "../../stage/tileUnder.ts";
import DownloadsPanel from "./DownloadsPanel.svelte";
import IssuePanel from "./IssuePanel.svelte";
import { sheetSet } from "./sheetSet.svelte.ts";
import PagesPanel from "./PagesPanel.svelte";
import PageView from "./PageView.svelte";
import PaperPanel from "./PaperPanel.svelte";
import PrinterPanel from "./PrinterPanel.svelte";
import SheetsOverlay from "./SheetsOverlay.svelte";

const SIDES_WORDS = { back: "back", face: "face", both: "back and face" } as const;

/** From the holes to paper at true size: paper, printer, every page looked through, files. */
export const sheetsPart: Part = {
  id: "sheets",
  sections: [
    {
      id: "paper",
      title: "Paper and sides",
      panel: PaperPanel,
      summary: () => `${studio.job.sheets.paper}, ${SIDES_WORDS[sidesChoice(studio.job)]}`,
    },
    { id: "printer", title: "Printer test", panel: PrinterPanel, summary: printerSummary },
    {
      id: "pages",
      title: "Look through",
      panel: PagesPanel,
      summary: () => (sheetSet.pages.length > 0 ? `${sheetSet.pages.length} sheets` : ""),
    },
    {
      id: "issue",
      title: "Issue",
      panel: IssuePanel,
      summary: () => issuedWords(studio.job.issued?.tiles.length ?? 0),
    },
    {
      id: "files",
      title: "Download",
      panel: DownloadsPanel,
      summary: () =>
        sheetSet.downloads.length > 0 ? `${sheetSet.downloads.length} downloaded` : "PDF, zip, SVG, DXF",
    },
  ],
  overlay: SheetsOverlay,
  cover: () => (desk.section === "pages" ? PageView : null),
  tap: (_grip, at) => {
    const tile = studio.ceiling && tileUnder(studio.ceiling, at);
    if (!tile || !sheetSet.summary?.tiles.some((t) => t.name === tile.name)) return;
    sheetSet.tile = tile.name;
    if (desk.section !== "files") {
      desk.open("pages");
      sheetSet.showTile(tile.name);
    }
  },
};

const issuedWords = (tiles: number): string =>
  tiles === 0 ? "nothing yet" : tiles === 1 ? "1 tile" : `${tiles} tiles`;

function printerSummary(): string {
  const { barXMm, barYMm, name } = studio.job.sheets.printer;
  if (barXMm === 150 && barYMm === 150) return name || "not measured";
  return `x ${(150 / barXMm).toFixed(4)}, y ${(150 / barYMm).toFixed(4)}`;
}
