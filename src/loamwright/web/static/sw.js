// Keeps pages and files on the phone, so that the bench opens without a network. The server puts VERSION and FILES before this.
/* global VERSION, FILES, LATER */
"use strict";

const HERE = `loamwright-files-${VERSION}`;
const SEEN = "loamwright-seen"; // pages as they were last seen, over all versions
const SHELL = "/bench";
const SCREENS = ["weigh", "press", "break", "write", "plan", "choose", "make", "asked", "waiting", "charts"];
const SHELL_PAGES = ["/bench", ...SCREENS.map((name) => `/bench/${name}`)];
const PATIENCE = 6_000;
const SHELL_PATIENCE = 2_000; // the bench is never worth a wait: what is kept here does as well
const MOST_SEEN = 80;

let behind = false; // the server is newer than this worker: its pages want its own files

self.addEventListener("install", (event) => {
  const fill = async () => {
    const cache = await caches.open(HERE);
    await cache.addAll(FILES.map((path) => new Request(path, { cache: "reload" })));
    await self.skipWaiting();
  };
  event.waitUntil(fill());
});

self.addEventListener("activate", (event) => {
  const takeOver = async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("loamwright-files-") && name !== HERE) await caches.delete(name);
    }
    await self.clients.claim();
    keepLater();
  };
  event.waitUntil(takeOver());
});

// What draws charts is large and not needed to weigh: it is kept once the rest is, and asked for again where that failed.
function keepLater() {
  return caches
    .open(HERE)
    .then((cache) => cache.addAll(LATER))
    .catch(() => {});
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (address.origin !== location.origin) return;
  if (request.method === "GET" && (FILES.includes(address.pathname) || LATER.includes(address.pathname)) && !SHELL_PAGES.includes(address.pathname)) {
    event.respondWith(fileOf(request, address.pathname));
  } else if (request.mode === "navigate" && request.method === "GET") {
    event.respondWith(pageOf(event, address));
  } else if (request.mode === "navigate" && request.method === "POST") {
    event.respondWith(sendForm(request));
  } else if (request.method === "GET" && /^\/p\/[^/]+\/photo\/[0-9a-f]{64}$/.test(address.pathname)) {
    event.respondWith(pictureOf(request));
  }
});

self.addEventListener("message", (event) => {
  // Pages that were open before this worker was, and those they lead to first: so that one look at Today is enough.
  if (!event.data || !Array.isArray(event.data.remember)) return;
  const look = async () => {
    for (const path of event.data.remember.slice(0, 20)) {
      const address = new URL(path, location.href);
      if (address.origin !== location.origin || (await lastSeen(address))) continue;
      try {
        const answer = await fetch(address, { headers: { Accept: "text/html" } });
        if (isPage(answer) && !answer.redirected) await remember(address, answer);
      } catch {
        return; // no network any more
      }
    }
  };
  event.waitUntil(look());
});

function isPage(answer) {
  return answer.ok && answer.headers.has("Loamwright-Version") && (answer.headers.get("Content-Type") || "").startsWith("text/html");
}

async function fileOf(request, path) {
  const cache = await caches.open(HERE);
  const kept = await cache.match(path);
  if (kept && !behind) return kept;
  try {
    const answer = await fetch(request);
    if (answer.ok && !behind) await cache.put(path, answer.clone());
    return answer;
  } catch (error) {
    if (kept) return kept;
    throw error;
  }
}

async function pageOf(event, address) {
  if (SHELL_PAGES.includes(address.pathname)) return shell(event);
  try {
    const answer = await inTime(event.request);
    const theirs = answer.headers.get("Loamwright-Version");
    if (theirs) behind = theirs !== VERSION;
    if (isPage(answer)) event.waitUntil(remember(address, answer.clone()));
    return answer;
  } catch {
    return (await lastSeen(address)) || shell(event);
  }
}

function inTime(request, patience = PATIENCE) {
  const giveUp = new AbortController();
  const timer = setTimeout(() => giveUp.abort(), patience);
  return fetch(request, { signal: giveUp.signal }).finally(() => clearTimeout(timer));
}

async function shell(event) {
  // One page for all bench addresses; with a network the newest, so that a change of language or version is seen at once.
  const cache = await caches.open(HERE);
  const kept = await cache.match(SHELL);
  try {
    const answer = await inTime(event.request, kept ? SHELL_PATIENCE : PATIENCE);
    if (!answer.ok) throw new Error("not the shell");
    const theirs = answer.headers.get("Loamwright-Version");
    behind = theirs !== VERSION;
    if (!behind) event.waitUntil(cache.put(SHELL, answer.clone()));
    return answer;
  } catch {
    return kept || Response.error();
  }
}

function without(address) {
  // "kept" only says what was just done; the page is the same one.
  const plain = new URL(address);
  plain.searchParams.delete("kept");
  plain.hash = "";
  return plain.href;
}

async function remember(address, answer) {
  const cache = await caches.open(SEEN);
  const headers = new Headers(answer.headers);
  headers.set("Loamwright-Seen", new Date().toISOString());
  const key = without(address);
  await cache.delete(key); // so that the newest stands last
  await cache.put(key, new Response(await answer.blob(), { headers }));
  const keys = await cache.keys();
  for (const old of keys.slice(0, Math.max(0, keys.length - MOST_SEEN))) await cache.delete(old);
}

async function lastSeen(address) {
  const kept = await (await caches.open(SEEN)).match(without(address));
  if (!kept) return null;
  const seen = kept.headers.get("Loamwright-Seen") || "";
  const text = (await kept.text()).replace("<head>", `<head>\n  <meta name="loamwright-seen" content="${seen}">`);
  return new Response(text, { headers: kept.headers });
}

async function sendForm(request) {
  const from = request.referrer;
  try {
    return await fetch(request);
  } catch {
    // Back to the page it was typed on, where it is still remembered, instead of the browser's own page of failure.
    return Response.redirect(from && new URL(from).origin === location.origin ? from : SHELL, 303);
  }
}

async function pictureOf(request) {
  // Named by its own hash, so it never changes.
  const cache = await caches.open(SEEN);
  const kept = await cache.match(request.url);
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok) cache.put(request.url, answer.clone());
  return answer;
}
