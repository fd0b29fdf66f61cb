import type { Side } from "../../ceiling/flip.ts";
import type { TileUse } from "../../job/sections/ceiling.ts";
import { rememberedTheme, rememberTheme, type Theme } from "./settings.ts";
import { ofOneJob } from "./ofOneJob.ts";

export type Selection =
  | { kind: "thing"; index: number }
  | { kind: "corner"; index: number }
  | { kind: "wall"; index: number }
  | { kind: "tile"; name: string };

/** How the room is shared on a small screen. */
export type Split = "ceiling" | "both" | "slip";

/** "#bench" in the address, as on a label or in a bookmark of the phone at the bench, opens the bench. */
const partToStart = (): string => (location.hash.startsWith("#bench") ? "bench" : "survey");

/** What is on the desk: which part is open, which side is seen, what is picked. Never saved with the job. */
class Desk {
  part = $state(partToStart());
  /** The open section of the part, which is also the tool on the ceiling. */
  section = $state("room");
  /** From which side the ceiling is looked at: "back" is the plan from above, "face" is looking up. */
  side = $state<Side>("back");
  selection = $state.raw<Selection | null>(null);
  brush = $state<TileUse>("fabric");
  /** A shape being drawn: "outline", or a kind of thing to put down. */
  drawing = $state<string | null>(null);
  /** Said to screen readers, where only the drawing shows it. */
  spoken = $state("");
  split = $state<Split>("both");
  theme = $state<Theme>(rememberedTheme() ?? systemTheme());

  constructor() {
    ofOneJob(() => this.open(this.section));
  }

  open(section: string): void {
    this.section = section;
    this.selection = null;
    this.drawing = null;
  }

  /** The page's colours change first: who reads them when the theme changes reads the new ones. */
  setTheme(theme: Theme): void {
    document.documentElement.dataset["theme"] = theme;
    this.theme = theme;
    rememberTheme(theme);
  }
}

function systemTheme(): Theme {
  return matchMedia("(prefers-color-scheme: light)").matches ? "light" : "dark";
}

export const desk = new Desk();
