/**
 * Registers the service worker. `onUpdate` is called when a newer studio is fetched and waits; what it is
 * given puts that one in place and loads the page again. `onFollow` is called where another tab did so.
 */
export async function registerOffline(
  onUpdate: (takeOver: () => void) => void,
  onFollow: () => void,
): Promise<void> {
  if (!("serviceWorker" in navigator) || !import.meta.env.PROD) return;
  const container = navigator.serviceWorker;
  let asked = false;
  // the first worker ever takes a page over that is of its own build
  let first = container.controller === null;
  container.addEventListener("controllerchange", () => {
    if (asked) location.reload();
    else if (!first) onFollow();
    first = false;
  });
  const registration = await container.register("/sw.js", { updateViaCache: "none" });
  const offer = (waiting: ServiceWorker): void =>
    onUpdate(() => {
      asked = true;
      waiting.postMessage("take-over");
    });
  if (registration.waiting && container.controller !== null) offer(registration.waiting);
  registration.addEventListener("updatefound", () => {
    const coming = registration.installing;
    coming?.addEventListener("statechange", () => {
      if (coming.state === "installed" && container.controller !== null) offer(coming);
    });
  });
}
