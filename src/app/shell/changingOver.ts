import { clearNotice, say } from "../state/notices.svelte.ts";
import { studio } from "../state/studio.svelte.ts";
import { enterTyped } from "./leaving.ts";

/** A newer studio waits: it takes over when the person says so, after saving. */
export function offer(takeOver: () => void): void {
  say("update", "A newer Velarium is ready.", {
    label: "Save and update",
    run: () => void keptAll().then((kept) => (kept ? takeOver() : sayNotKept())),
  });
}

/** Another tab changed over: this one follows as soon as all its work is kept. */
export async function follow(): Promise<void> {
  if (await keptAll()) location.reload();
  else sayNotKept();
}

/** A piece of the studio can't be had, most likely because a newer one has taken its place. */
export function sayMissing(error: unknown): void {
  console.warn(error);
  say("missing", "This part of the studio could not be loaded. A newer Velarium may have taken its place.", {
    label: "Save and load again",
    run: () => void follow(),
  });
}

async function keptAll(): Promise<boolean> {
  enterTyped();
  studio.flush();
  await studio.settled();
  return studio.keep.kind === "saved";
}

function sayNotKept(): void {
  clearNotice("update");
  say(
    "update",
    "A newer Velarium is ready, but this job is not kept. Save it as a file, then load the page again.",
    {
      label: "Save as a file",
      run: () => void studio.saveToFile(true),
    },
  );
}
