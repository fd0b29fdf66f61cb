import { SETTINGS, setPattern, type Setting } from "./commands/settings.ts";
import { studio } from "../../state/studio.svelte.ts";

/** A slider of a setting: what it is, what it may be, and what the hand does to the job. Shares are in per cent. */
export function settingField(setting: Setting, unit: "mm" | "mag" | "%") {
  const perUnit = unit === "%" ? 0.01 : 1;
  const { min, max } = SETTINGS[setting];
  return {
    unit,
    value: (studio.job.pattern[setting] ?? 0) / perUnit,
    min: min / perUnit,
    max: max / perUnit,
    decimals: unit === "%" ? 0 : 1,
    onslide: (value: number) => studio.preview((job) => setPattern(job, setting, value * perUnit)),
    onrest: () => studio.commit(),
    oncancel: () => studio.cancelPreview(),
    onset: (value: number) => void studio.run((job) => setPattern(job, setting, value * perUnit)),
    onleave: () => studio.seal(),
  };
}
