// The studio's service worker: keeps the whole studio and its catalogue for work without a network.
// The compiler is told of pages and workers alike; this file only ever runs as a service worker.
const worker = globalThis as unknown as ServiceWorkerGlobalScope;

interface Precache {
  version: string;
  files: string[];
}

// The build puts the list here (scripts/app/writePrecache.ts).
const precache = "__VELARIUM_PRECACHE__" as unknown as Precache;
const CACHE_PREFIX = "velarium-";
const CACHE = CACHE_PREFIX + precache.version;

worker.addEventListener("install", (event) => {
  event.waitUntil(keepAll());
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(dropOldCaches().then(() => worker.clients.claim()));
});

// A new version waits until the page says so: it asks the person first, after saving.
worker.addEventListener("message", (event) => {
  if (event.data === "take-over") void worker.skipWaiting();
});

worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== worker.location.origin) return;
  event.respondWith(cacheFirst(event.request, url));
  if (event.request.mode === "navigate") event.waitUntil(fillAgain().catch(() => undefined));
});

async function keepAll(): Promise<void> {
  const cache = await caches.open(CACHE);
  await cache.addAll(precache.files.map((file) => new Request(file, { cache: "no-cache" })));
}

/** Of older studios the last stays: a tab that is still to change over may want a part it has never opened. */
async function dropOldCaches(): Promise<void> {
  const older = (await caches.keys()).filter((name) => name.startsWith(CACHE_PREFIX) && name !== CACHE);
  for (const name of older.slice(0, -1)) await caches.delete(name);
}

/** Browsers clear what is kept for offline work when room runs out, and leave this worker: fetch it again, if it is still the same studio that the server has. */
async function fillAgain(): Promise<void> {
  const cache = await caches.open(CACHE);
  const kept = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  if (precache.files.every((file) => kept.has(file))) return;
  const served = await fetch(worker.location.href, { cache: "no-cache" });
  if ((await served.text()).includes(precache.version)) await keepAll();
}

async function cacheFirst(request: Request, url: URL): Promise<Response> {
  const cache = await caches.open(CACHE);
  const key = request.mode === "navigate" ? "/index.html" : url.pathname;
  // Servers and proxies add Vary headers that must not hide a kept file.
  const kept =
    (await cache.match(key, { ignoreVary: true })) ??
    (url.pathname.startsWith("/assets/") ? await caches.match(key, { ignoreVary: true }) : undefined);
  if (kept !== undefined) return kept;
  const fresh = await fetch(request);
  // What is fetched on demand, the deep star set or a further font, is kept from then on.
  if (fresh.ok && (url.pathname.startsWith("/catalog/") || url.pathname.endsWith(".woff")))
    await cache.put(key, fresh.clone());
  return fresh;
}
