// Keeps the page on a phone that has no way to open it from a file. Nothing but the page is kept.
const kept = "libdrag-VERSION";
const files = ["./", "./index.html", "./manifest.webmanifest"];
addEventListener("install", (event) => event.waitUntil(caches.open(kept).then((cache) => cache.addAll(files))));
addEventListener("activate", (event) =>
  event.waitUntil(
    caches.keys().then((names) =>
      Promise.all(names.filter((n) => n.startsWith("libdrag-") && n !== kept).map((n) => caches.delete(n))),
    ),
  ),
);
addEventListener("fetch", (event) =>
  event.respondWith(caches.match(event.request, { ignoreSearch: true }).then((found) => found ?? fetch(event.request))),
);
