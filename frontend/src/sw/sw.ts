/* Serves the app itself where there is no signal: the page and every file it is made of, all of one
   version or none. It never touches the API: what a person sees comes from their own desk. */

/** Filled in by the build: this version's name, its files, its entry script, the engine's files. */
declare const BUILD: { version: string; files: string[]; entry: string; engine: string[] };

const worker = self as unknown as ServiceWorkerGlobalScope;
const build = BUILD;
const SHELL = `shell-${build.version}`;
const ENGINE = "engine";
const files = new Set(build.files);

worker.addEventListener("install", (event) => event.waitUntil(fetchAll()));
worker.addEventListener("activate", (event) => event.waitUntil(takeOver()));
worker.addEventListener("message", (event) => {
  if (event.data === "take over") void worker.skipWaiting();
});
worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  const path = url.pathname === "/index.html" ? "/" : url.pathname;
  if (files.has(path)) event.respondWith(kept(SHELL, path, event.request));
  else if (path.startsWith("/assets/")) event.respondWith(kept(null, path, event.request));
  else if (path.startsWith("/python/")) event.respondWith(kept(ENGINE, path, event.request));
});

/** From the cache, else from the server: what is missing there is its 404, never the start page. */
async function kept(cacheName: string | null, path: string, request: Request): Promise<Response> {
  const found = await caches.match(path, cacheName === null ? {} : { cacheName });
  return found ?? fetch(request);
}

async function fetchAll(): Promise<void> {
  const shell = await caches.open(SHELL);
  await Promise.all(build.files.map((path) => keep(shell, path)));
  const page = await (await shell.match("/"))?.text();
  // The server may have been given a newer version in between: half of each would be neither.
  if (!page?.includes(build.entry)) throw new Error("The page is of another version.");
  await keepEngineInStep();
}

async function keep(cache: Cache, path: string): Promise<void> {
  const isNamedByContent = path.startsWith("/assets/");
  const before = isNamedByContent ? await caches.match(path) : undefined;
  const response = before ?? (await fetch(path, isNamedByContent ? {} : { cache: "reload" }));
  if (!response.ok || response.redirected) throw new Error(`${path} is not there.`);
  await cache.put(path, response);
}

/** A phone that can grade without a signal must still be able to with the new version. */
async function keepEngineInStep(): Promise<void> {
  const engine = await caches.open(ENGINE);
  if ((await engine.keys()).length === 0) return; // the page fetches it once it has time
  for (const path of build.engine) {
    if ((await engine.match(path)) === undefined) await keep(engine, path);
  }
}

async function takeOver(): Promise<void> {
  const engine = await caches.open(ENGINE);
  for (const request of await engine.keys()) {
    if (!build.engine.includes(new URL(request.url).pathname)) await engine.delete(request);
  }
  // Another tab may still run the version before: its files stay until it is gone.
  const pages = await worker.clients.matchAll({ type: "window", includeUncontrolled: true });
  if (pages.length <= 1) {
    for (const name of await caches.keys()) {
      if (name.startsWith("shell-") && name !== SHELL) await caches.delete(name);
    }
  }
  await worker.clients.claim();
}

export {};
