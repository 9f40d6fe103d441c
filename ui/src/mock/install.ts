/** Answers `/api` inside the page itself; only in the mode “mock”. */
import type { Json } from '../lib/api/types';
import { MockServer } from './server';

export function install(): void {
  const server = new MockServer();
  const asked = new URLSearchParams(location.search);
  const demo = asked.get('demo');
  if (demo) server.open(demo);
  const late = Number(asked.get('late') ?? 0);
  const real = window.fetch.bind(window);
  window.fetch = async (input, init) => {
    const url = new URL(String(input instanceof Request ? input.url : input), location.href);
    if (!url.pathname.startsWith('/api/')) return real(input, init);
    const body = typeof init?.body === 'string' && init.body.startsWith('{') ? (JSON.parse(init.body) as Record<string, Json>) : {};
    const sheet = /^\/api\/papers\/preview\/(.*)\.svg$/.exec(url.pathname);
    if (sheet) return new Response(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 210 297"><text x="20" y="30" font-size="9">${sheet[1]} ${url.searchParams.get('page')}</text></svg>`, { headers: { 'X-Pages': '2' } });
    const reply = server.answer(init?.method ?? 'GET', url.pathname, url.searchParams, body);
    if (late) await new Promise((go) => setTimeout(go, late));
    return new Response(JSON.stringify(reply.body), { status: reply.status, headers: { 'Content-Type': 'application/json' } });
  };
  class Silent extends EventTarget {
    onerror = null;
    close(): void {}
  }
  Object.assign(window, { EventSource: Silent, mockServer: server });
}
