import { studio } from "../state/studio.svelte.ts";

/** Undo, redo and save by the usual keys; never while a text is being typed. */
export function shortcut(event: KeyboardEvent): void {
  if (!studio.ready || !(event.ctrlKey || event.metaKey) || event.altKey) return;
  const key = event.key.toLowerCase();
  if (key === "s") void studio.saveToFile(event.shiftKey);
  else if (typing(event.target)) return;
  else if (key === "z" && !event.shiftKey) studio.undo();
  else if (key === "y" || key === "z") studio.redo();
  else return;
  event.preventDefault();
}

function typing(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLTextAreaElement ||
    (target instanceof HTMLInputElement && !["radio", "checkbox", "range", "button"].includes(target.type))
  );
}
