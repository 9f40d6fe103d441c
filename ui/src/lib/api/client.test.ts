import { afterEach, expect, test, vi } from 'vitest';
import { standing, askEarly } from '../foot/asked';
import { AWAY, get, Refusal } from './client';
import { pagePicture } from './picture';

afterEach(() => vi.unstubAllGlobals());
const broken = { ok: true, status: 200, headers: new Headers(), text: () => Promise.reject(new TypeError('network error')), arrayBuffer: () => Promise.reject(new TypeError('network error')) };
const never = new AbortController().signal;

test('a program that goes away, before it answers or half-way through, is told in a sentence', async () => {
  for (const answer of [() => Promise.reject(new TypeError('Failed to fetch')), () => Promise.resolve(broken)]) {
    vi.stubGlobal('fetch', answer);
    await expect(get('/api/garden')).rejects.toThrow(AWAY);
    await expect(pagePicture('plan', {}, never)).rejects.toThrow(AWAY);
    await expect(standing(2027, 6, 1)).rejects.toThrow(AWAY);
  }
});

test('what is given up is no fault', async () => {
  vi.stubGlobal('fetch', () => Promise.reject(new DOMException('given up', 'AbortError')));
  await expect(get('/api/garden')).rejects.toMatchObject({ name: 'AbortError' });
});

test('an answer that says no in a form nobody reads is still a sentence', async () => {
  const html = new TextEncoder().encode('<html>').buffer;
  vi.stubGlobal('fetch', () => Promise.resolve({ ok: false, status: 502, headers: new Headers(), text: () => Promise.resolve('{}'), arrayBuffer: () => Promise.resolve(html) }));
  await expect(standing(2027, 6, 1)).rejects.toThrow('The garden can’t be stood up now.');
  await expect(standing(2027, 6, 1)).rejects.toBeInstanceOf(Refusal);
});

test('what failed before anybody looked is asked for once more', async () => {
  vi.stubGlobal('fetch', () => Promise.reject(new TypeError('Failed to fetch')));
  askEarly(2027, 6, 1);
  await Promise.resolve();
  vi.stubGlobal('fetch', () => Promise.resolve({ ok: true, status: 200, headers: new Headers(), text: () => Promise.resolve('{"free": []}'), arrayBuffer: () => Promise.resolve(new ArrayBuffer(8)) }));
  await expect(standing(2027, 6, 1)).resolves.toMatchObject([{ byteLength: 8 }, { free: [] }]);
});
