// Lets the evaluator's page open where there is no net: the net first, what the
// page kept (entry.js) when there is none. The page alone keeps files: with two
// writers, a browser killed between the two could lose one that both had.
"use strict";

const patience = 4000; // ms until a silent net counts as none

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

async function fresh(request) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), patience);
  try {
    return await fetch(request, { signal: stop.signal });
  } finally {
    clearTimeout(timer);
  }
}

async function netOrKept(request) {
  try {
    return await fresh(request);
  } catch (e) {
    const kept = await caches.match(request, { ignoreVary: true }) ?? (request.mode === "navigate" ? await caches.match(request, { ignoreVary: true, ignoreSearch: true }) : undefined);
    if (kept) return kept;
    throw e;
  }
}

self.addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url);
  if (event.request.method === "GET" && origin === self.location.origin && (pathname === "/entry" || pathname.startsWith("/static/"))) {
    event.respondWith(netOrKept(event.request));
  }
});
