/* Keeps the page itself, so that it opens without a signal. What is entered is kept by the page, not here. */
const KEPT = 'outdoors-page-1';
const PARTS = ['./', './page.js', './index.css', './faces.css', '../fonts/SourceSans3-Regular.ttf', '../fonts/SourceSans3-Semibold.ttf', '../fonts/SourceSans3-Bold.ttf'];
const PATIENCE_MS = 3000;
const paths = new Set(PARTS.map((p) => new URL(p, self.location.href).pathname));

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(KEPT).then((kept) => kept.addAll(PARTS)).then(() => self.skipWaiting()));
});
self.addEventListener('activate', (event) => {
  event.waitUntil(
    caches.keys().then((names) => Promise.all(names.filter((n) => n.startsWith('outdoors-page-') && n !== KEPT).map((n) => caches.delete(n)))).then(() => self.clients.claim()),
  );
});
self.addEventListener('fetch', (event) => {
  const { pathname, origin } = new URL(event.request.url);
  if (event.request.method !== 'GET' || origin !== self.location.origin || !paths.has(pathname)) return;
  event.respondWith(newest(event.request, pathname));
});

/** The program's own page while it answers in time, else the one kept. */
async function newest(request, pathname) {
  const kept = await caches.open(KEPT);
  const late = new AbortController();
  const clock = setTimeout(() => late.abort(), PATIENCE_MS);
  try {
    const reply = await fetch(pathname, { signal: late.signal, credentials: 'same-origin', cache: 'no-cache' });
    if (reply.ok && !reply.redirected) {
      await kept.put(pathname, reply.clone());
      return reply;
    }
    return (await kept.match(pathname)) ?? reply;
  } catch {
    return (await kept.match(pathname)) ?? Response.error();
  } finally {
    clearTimeout(clock);
  }
}
