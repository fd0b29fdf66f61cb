import { flushSync } from "svelte";
import { workRecord } from "../state/record.svelte.ts";
import { studio } from "../state/studio.svelte.ts";

/** Text that a field refused stands in it and nowhere else: the field says so, however it is put together. */
const REFUSED_TEXT = "input[data-refused]";

/** What is typed but not yet entered counts too when the page goes away. */
export function enterTyped(): void {
  if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
  flushSync();
}

/** Asks before the page is left while anything on it is kept nowhere else. */
export function leaving(event: BeforeUnloadEvent): void {
  enterTyped();
  studio.flush();
  const kept = studio.keep.kind === "saved" && workRecord.isKept;
  if (!kept || document.querySelector(REFUSED_TEXT) !== null) event.preventDefault();
}

/** On the way into the background, from where a phone may never bring the page back. */
export function hidden(): void {
  if (document.visibilityState !== "hidden") return;
  enterTyped();
  studio.flush();
}
