// Keeps the app on the device: its own files under a name made from their
// content, the engine under its own name and renewed behind the page's back.
const NAME = "app-1e223c654cd94fbe";
const FILES = ["/assets/index-DorKcvCG.css","/assets/index-XBniFepp.js","/assets/national-park-latin-wght-normal-WIjTj1VI.woff2","/assets/overpass-figures-B-FBkTj1.woff2","/assets/worker-2euQJv_m.js","/icon-512.png","/icon.svg","/","/manifest.webmanifest"];
const ENGINE = "engine-1";
const PARTS = ["/engine/wasm_exec.js", "/engine/engine.wasm"];

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const app = await caches.open(NAME);
      // no-cache asks the server, but what the page has just fetched is not sent again.
      await app.addAll(FILES.map((f) => new Request(f, { cache: "no-cache" })));
      const engine = await caches.open(ENGINE);
      await Promise.all(PARTS.map(async (p) => (await engine.match(p)) || engine.add(p)));
      await self.skipWaiting();
      // Papers weigh as much again: fetched when nothing else waits.
      engine.match("/engine/papers.wasm").then((have) => have || engine.add("/engine/papers.wasm").catch(() => {}));
    })(),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      for (const name of await caches.keys()) if (name !== NAME && name !== ENGINE) await caches.delete(name);
      await self.clients.claim();
    })(),
  );
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin || url.pathname.startsWith("/api/")) return;
  if (url.pathname.startsWith("/engine/")) event.respondWith(engine(event, url.pathname));
  else event.respondWith(app(event.request, url.pathname));
});

async function app(request, path) {
  const kept = await caches.open(NAME);
  const hit = await kept.match(request.mode === "navigate" ? "/" : path);
  return hit || fetch(request);
}

// What is kept answers at once; a newer engine is fetched for the next visit.
async function engine(event, path) {
  const kept = await caches.open(ENGINE);
  const hit = await kept.match(path);
  const fresh = fetch(path, { cache: "no-cache" }).then(async (r) => {
    if (r.ok) await kept.put(path, r.clone());
    return r;
  });
  if (!hit) return fresh;
  event.waitUntil(fresh.catch(() => {}));
  return hit;
}
