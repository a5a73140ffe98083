// Keeps the shell and today's pages of the bench on the tablet, to be read where the network is gone. It looks at GET
// requests only: nothing that is sent passes through it. Pages are kept for one person at a time.
"use strict";

const { shop } = self;
const SHELL = `shell-${shop.edition}`;
const PATIENCE_MS = 4000;
// Today's pages are fetched one by one, after the page that somebody waits for and with a pause at least as long as each took.
const DELAY_MS = 1500;
const PAUSE_MS = 100;
const MOST_PICTURES = 240;
const SHOW_SPECIFIED = /\/(stack\/specified|compare|photos|lay-out|stack-wall)\//;

self.addEventListener("install", (event) => event.waitUntil(keepShell()));

// A file that does not arrive now is kept with the first page that needs it.
async function keepShell() {
  const cache = await caches.open(SHELL);
  await Promise.allSettled(shop.shell.map((address) => cache.add(address)));
  await self.skipWaiting();
}

self.addEventListener("activate", (event) => event.waitUntil(takeOver()));

async function takeOver() {
  const old = (await caches.keys()).filter((name) => name.startsWith("shell-") && name !== SHELL);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname.startsWith(shop.customer)) return;
  if (url.pathname.startsWith(shop.files)) event.respondWith(file(request));
  else if (url.pathname.startsWith(shop.photos)) event.respondWith(picture(request));
  else if (request.mode === "navigate") event.respondWith(page(event, url));
});

// A file's name changes with its content, so a kept one is never old.
async function file(request) {
  const kept = await caches.match(request);
  if (kept) return kept;
  const response = await fetch(request);
  if (response.ok) (await caches.open(SHELL)).put(request, response.clone());
  return response;
}

async function picture(request) {
  return (await caches.match(request)) ?? fetch(request);
}

async function page(event, url) {
  const network = fetch(event.request);
  event.waitUntil(network.then((response) => look(url, response.clone())).catch(() => {}));
  if (!url.pathname.startsWith(shop.bench)) {
    return network.catch(async (error) => (await keptPage(new URL(shop.notKept, url))) ?? Promise.reject(error));
  }
  const kept = await keptPage(url);
  const response = await Promise.race([network, wait(kept ? PATIENCE_MS : 60_000)]).catch(() => null);
  if (response && ![502, 503, 504].includes(response.status)) return response;
  return kept ?? (await elsewhere(url)) ?? response ?? network;
}

// Where there is no copy: the job that was typed on the first page, or a page that says so.
async function elsewhere(url) {
  const number = url.pathname === shop.bench ? url.searchParams.get("number")?.trim() : "";
  const job = number ? `${shop.bench}jobs/${encodeURIComponent(number)}/` : "";
  if (job && (await find(new URL(job, url)))) return Response.redirect(job);
  return keptPage(new URL(shop.notKept, url));
}

async function find(url) {
  for (const name of await caches.keys()) {
    if (!name.startsWith("pages-")) continue;
    const cache = await caches.open(name);
    const stack = url.pathname.includes("/stack/");
    const kept = (await cache.match(url)) ?? (stack ? await cache.match(url, { ignoreSearch: true }) : null);
    if (kept) return kept;
  }
  return null;
}

// A kept page says on its body when it was true.
async function keptPage(url) {
  const kept = await find(url);
  if (!kept) return null;
  const text = (await kept.text()).replace("<body", `<body data-as-of="${kept.headers.get("X-Kept-At")}"`);
  return new Response(text, { headers: kept.headers });
}

// What every page from the network tells: whose it is. Pages of anybody else leave the tablet.
async function look(url, response) {
  const person = response.headers.get("X-Person");
  if (person === null || response.type === "opaqueredirect") return;
  await keepOnly(person);
  const bench = url.pathname.startsWith(shop.bench) && !shop.never.some((path) => url.pathname.startsWith(path));
  if (!bench || person === "0" || !response.ok) return;
  await keep(url.href, response, person, "");
  // A stack as built is recorded without sight of the specified one, so kept copies of that are fetched anew.
  const built = url.pathname.match(/^(.*)stack\/as_built\/$/);
  if (built) await renew(person, (path) => path.startsWith(built[1]) && SHOW_SPECIFIED.test(path));
}

async function keepOnly(person) {
  const others = (await caches.keys()).filter((name) => name.startsWith("pages-") && name !== `pages-${person}`);
  await Promise.all(others.map((name) => caches.delete(name)));
}

async function keep(address, response, person, mark) {
  const headers = new Headers(response.headers);
  for (const name of ["Content-Encoding", "Content-Length", "Set-Cookie"]) headers.delete(name);
  headers.set("X-Kept-At", new Date().toISOString());
  headers.set("X-Kept-Mark", mark);
  const text = await response.text();
  await (await caches.open(`pages-${person}`)).put(address, new Response(text, { headers }));
  return text;
}

async function renew(person, chosen) {
  const cache = await caches.open(`pages-${person}`);
  const old = (await cache.keys()).filter((request) => chosen(new URL(request.url).pathname));
  await Promise.all(old.map((request) => cache.delete(request)));
  for (const request of old) await fetchPage(request.url, person, "");
}

// Fetch a page as its reader would; say whether going on makes sense.
async function fetchPage(address, person, mark) {
  const response = await fetch(address, { headers: { Accept: "text/html" }, redirect: "manual" });
  if (response.headers.get("X-Person") !== person) return false;
  if (response.ok) await keepPartsOf(await keep(address, response, person, mark), person);
  return true;
}

async function keepPartsOf(text, person) {
  const shell = await caches.open(SHELL);
  const pages = await caches.open(`pages-${person}`);
  for (const [, address] of text.matchAll(/(?:href|src)="(\/[^"?]+)"/g)) {
    const into = address.startsWith(shop.files) ? shell : address.startsWith(shop.photos) ? pages : null;
    if (!into || (await caches.match(address))) continue;
    if (into === pages) await makeRoom(pages);
    const response = await fetch(address);
    if (response.ok) await into.put(address, response);
  }
}

// Pictures are kept in number; the one that came first goes first.
async function makeRoom(cache) {
  const kept = (await cache.keys()).filter((one) => new URL(one.url).pathname.startsWith(shop.photos));
  if (kept.length >= MOST_PICTURES) await cache.delete(kept[0]);
}

const wait = (milliseconds) => new Promise((resolve) => setTimeout(resolve, milliseconds));
let keeping = false;

// Fetch today's pages one after the other, only those whose job changed; drop those that are no longer asked for.
async function keepToday() {
  if (keeping) return;
  keeping = true;
  try {
    await wait(DELAY_MS);
    const response = await fetch(`${shop.bench}today/`, { redirect: "manual", cache: "no-store" });
    if (!response.ok) return;
    const { person, pages } = await response.json();
    await keepOnly(String(person));
    const cache = await caches.open(`pages-${person}`);
    for (const { url, mark } of pages) {
      const kept = await cache.match(url);
      if (kept?.headers.get("X-Kept-Mark") === mark) continue;
      const began = performance.now();
      if (!(await fetchPage(new URL(url, self.location).href, String(person), mark))) return;
      await wait(Math.max(PAUSE_MS, performance.now() - began));
    }
    await dropOthers(cache, new Set(pages.map((one) => new URL(one.url, self.location).href)));
  } catch {
    // The network went; what is kept stays, and the next visit goes on.
  } finally {
    keeping = false;
  }
}

// Jobs of other days go; pages that were opened by hand stay for half a day.
async function dropOthers(cache, wanted) {
  for (const request of await cache.keys()) {
    const kept = await cache.match(request);
    const at = Date.parse(kept?.headers.get("X-Kept-At") ?? "");
    if (!wanted.has(request.url) && Date.now() - at > 12 * 3600 * 1000) await cache.delete(request);
  }
}

self.addEventListener("message", (event) => {
  if (event.data === "keep today") event.waitUntil(keepToday());
  if (event.data === "forget pages") event.waitUntil(keepOnly("0"));
});

// Where the browser wakes the worker when the network is back, it sends even with every page closed.
self.addEventListener("sync", (event) => {
  if (event.tag === "outbox") event.waitUntil(self.outbox.sender.drain());
});
