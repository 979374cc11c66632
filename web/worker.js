// Keeps the workshop's page and its parts in this browser, so that the page of the bench opens
// without a network. What jobs say is not kept here: pages keep what they need of it themselves.
// Only what this server sent is kept, and the server is asked first whenever it can be reached.

"use strict";

const SHELF = "seatwright-page";

// The page, and the parts that it names with their digests; parts of older pages go.
async function keep(page) {
  const copy = page.clone();
  const parts = [...(await page.text()).matchAll(/"(\/[^"]+\?digest=[0-9a-f]+)"/g)].map((match) => match[1]);
  const shelf = await caches.open(SHELF);
  await Promise.all(parts.map(async (part) => (await shelf.match(part)) ?? shelf.add(part)));
  for (const old of await shelf.keys()) {
    const { pathname, search } = new URL(old.url);
    if (!parts.includes(pathname + search)) await shelf.delete(old);
  }
  await shelf.put("/", copy);
}

async function answerPage(event) {
  try {
    const page = await fetch(event.request);
    if (page.ok) event.waitUntil(keep(page.clone()));
    return page;
  } catch {
    return (await caches.match("/")) ?? Response.error();
  }
}

self.addEventListener("install", (event) => {
  event.waitUntil(fetch("/").then(keep).then(() => self.skipWaiting()));
});
self.addEventListener("activate", (event) => {
  event.waitUntil(self.clients.claim());
});
self.addEventListener("fetch", (event) => {
  const { pathname, searchParams } = new URL(event.request.url);
  if (event.request.mode === "navigate" && pathname === "/") event.respondWith(answerPage(event));
  else if (searchParams.has("digest")) event.respondWith(caches.match(event.request).then((found) => found ?? fetch(event.request)));
});
