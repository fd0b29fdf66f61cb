import type { FourMarks } from "../../../../cast/cast.ts";
import type { ScreenScale } from "../../../../cast/screen.ts";
import { rememberedLight, rememberLight } from "../../../state/settings.ts";

/** What this device remembers of how it shows a tile: how true its screen is, where the marks lay, what is refused. */
export interface KeptLight {
  limitMm: number;
  by: "card" | "line";
  cardPx: { widthPx: number; heightPx: number };
  scale: ScreenScale | null;
  marks: { widthPx: number; heightPx: number; at: FourMarks } | null;
}

/** A screen made true is so as long as it is the same screen, at the same zoom of the page. */
const screenNow = (): string => `${screen.width} ${screen.height} ${window.devicePixelRatio}`;

/** Nothing where it was another screen, or what is kept can't be read. */
export function keptLight(): Partial<KeptLight> {
  try {
    const { on, limitMm, ...rest } = JSON.parse(rememberedLight() ?? "{}") as Partial<KeptLight> & {
      on?: string;
    };
    const limit = typeof limitMm === "number" && limitMm >= 0.1 && limitMm <= 5 ? { limitMm } : {};
    return on === screenNow() ? { ...rest, ...limit } : limit;
  } catch {
    return {};
  }
}

export const keepLight = (light: KeptLight): void =>
  rememberLight(JSON.stringify({ on: screenNow(), ...light }));
