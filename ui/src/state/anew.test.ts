import { beforeEach, expect, test, vi } from 'vitest';
import { anewTo, wantedBefore } from './anew';

const kept = new Map<string, string>();
beforeEach(() => {
  kept.clear();
  vi.stubGlobal('sessionStorage', {
    getItem: (name: string) => kept.get(name) ?? null,
    setItem: (name: string, value: string) => void kept.set(name, value),
    removeItem: (name: string) => void kept.delete(name),
  });
});

test('the screen that was wanted is told once after the page was loaded anew', () => {
  const load = vi.fn();
  anewTo('years', load);
  expect(load).toHaveBeenCalledOnce();
  expect([wantedBefore(), wantedBefore()]).toEqual(['years', null]);
});

test('in a browser that keeps nothing the page is loaded anew all the same', () => {
  vi.stubGlobal('sessionStorage', undefined);
  const load = vi.fn();
  anewTo('years', load);
  expect(load).toHaveBeenCalledOnce();
  expect(wantedBefore()).toBeNull();
});
