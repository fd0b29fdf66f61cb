import { setPattern, type Setting } from "./commands/settings.ts";
import { studio } from "../../state/studio.svelte.ts";

/** What a slider of a setting does to the job; `perUnit` is what one unit of the slider is in the job (0.01 for percent). */
export function settingHands(setting: Setting, perUnit = 1) {
  return {
    onslide: (value: number) => studio.preview((job) => setPattern(job, setting, value * perUnit)),
    onrest: () => studio.commit(),
    onset: (value: number) => void studio.run((job) => setPattern(job, setting, value * perUnit)),
    onleave: () => studio.seal(),
  };
}
