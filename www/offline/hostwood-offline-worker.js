/*
 * The recipe for use without a connection: a service worker for a page's publisher to copy, set up and host.
 *
 * In: the settings below; what the page asks for. Out: the files of the release from the copy kept first; pages, stand
 * maps and rule books from the network first, and where it gives none in time, from the copy kept last, marked with the
 * moment at which it was kept, so that the map can say how old it is. Nothing else is touched: base maps and all other
 * requests go their usual way. Copy this file into the folder that holds the page, the release and the data.
 */

const SETTINGS = {
  /** Set to false and publish: every copy is thrown away and this worker takes its leave. */
  on: true,
  /** The folder of the release. Its name holds its version, since what lies in it is never asked for again. */
  release: "hostwood/",
  /** Pages with the map. */
  pages: ["./", "index.html"],
  /** Stand map, crosswalk, rule books and whatever else the map is given; they are fetched once in advance. */
  data: [],
  /** For so long the network is waited for where a copy is there, in milliseconds. */
  patience: 3000,
};

const here = (path) => new URL(path, self.location.href).href;
const RELEASE = here(SETTINGS.release);
const PAGES = new Set(SETTINGS.pages.map(here));
const DATA = new Set(SETTINGS.data.map(here));
/** Caches are this worker's own by their name; a new release has a new one. */
const OURS = "hostwood-offline ";
const RELEASE_CACHE = `${OURS}${RELEASE}`;
const FILES_CACHE = `${OURS}files`;
const KEPT_HEADER = "hostwood-kept";

self.addEventListener("install", (event) => {
  event.waitUntil(SETTINGS.on ? keepAll() : self.skipWaiting());
});

self.addEventListener("activate", (event) => {
  event.waitUntil(SETTINGS.on ? takeOver() : takeLeave());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  // A download that goes on in the middle is the network's alone.
  if (!SETTINGS.on || request.method !== "GET" || request.headers.has("range")) return;
  const url = new URL(request.url);
  url.hash = "";
  if (url.href.startsWith(RELEASE)) event.respondWith(keptFirst(request));
  else if (DATA.has(url.href) || PAGES.has(url.href.replace(/\?.*$/, "")))
    event.respondWith(networkFirst(event, url.href));
});

/** Keeps the release and the data in advance; without all of the release there is no use in going on. */
async function keepAll() {
  const list = await (await fetch(`${RELEASE}files.json`)).json();
  const release = await caches.open(RELEASE_CACHE);
  await release.addAll(list.map((name) => `${RELEASE}${name}`));
  const files = await caches.open(FILES_CACHE);
  await Promise.all(
    [...DATA, ...PAGES].map(async (address) => {
      const response = await fetch(address).catch(() => null);
      if (response !== null && fit(address, response)) await files.put(address, stamped(response));
    }),
  );
  await self.skipWaiting();
}

/** Earlier releases, and files that are on the list no more, go. */
async function takeOver() {
  for (const name of await caches.keys()) {
    if (name.startsWith(OURS) && name !== RELEASE_CACHE && name !== FILES_CACHE) await caches.delete(name);
  }
  const files = await caches.open(FILES_CACHE);
  for (const { url } of await files.keys()) {
    if (!DATA.has(url) && !PAGES.has(url)) await files.delete(url);
  }
  await self.clients.claim();
}

async function takeLeave() {
  for (const name of await caches.keys()) if (name.startsWith(OURS)) await caches.delete(name);
  await self.registration.unregister();
}

/** A file of the release: from the copy, else from the network, which is then kept. */
async function keptFirst(request) {
  const cache = await caches.open(RELEASE_CACHE);
  const kept = await cache.match(request.url);
  if (kept !== undefined) return kept;
  const response = await fetch(request);
  if (response.ok && !request.url.endsWith(".map")) await cache.put(request.url, response.clone());
  return response;
}

/** Pages and data: from the network, else from the copy kept last. */
async function networkFirst(event, address) {
  const cache = await caches.open(FILES_CACHE);
  const key = PAGES.has(address) || DATA.has(address) ? address : address.replace(/\?.*$/, "");
  const kept = await cache.match(key);
  const fresh = fetch(event.request).then(async (response) => {
    if (fit(key, response)) {
      // A download that breaks off is not kept; the copy that was there stays.
      event.waitUntil(cache.put(key, stamped(response.clone())).catch(() => undefined));
      return response;
    }
    // A file that was taken off the site is not shown from a copy.
    if (response.status === 404 || response.status === 410) {
      await cache.delete(key);
      return response;
    }
    return kept ?? response;
  });
  if (kept === undefined) return fresh;
  fresh.catch(() => undefined);
  const late = new Promise((resolve) => {
    setTimeout(() => resolve(kept.clone()), SETTINGS.patience);
  });
  return Promise.race([fresh.catch(() => kept.clone()), late]);
}

/** Whether an answer is what was asked for: a page of a sign-in portal is no stand map. */
function fit(address, response) {
  const page = (response.headers.get("content-type") ?? "").startsWith("text/html");
  return response.ok && !response.redirected && page === PAGES.has(address);
}

/** The answer with the moment at which it was kept. Its body is unpacked already. */
function stamped(response) {
  const headers = new Headers(response.headers);
  headers.delete("content-encoding");
  headers.delete("content-length");
  headers.set(KEPT_HEADER, new Date().toISOString());
  return new Response(response.body, { status: 200, headers });
}
