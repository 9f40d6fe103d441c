// @vitest-environment happy-dom
import { afterEach, expect, it, vi } from 'vitest';
import { Refusal } from '../lib/api/client';
import { NOBODY } from '../lib/saturday/steps';
import { Carry, type Link } from './carry.svelte';
import { FORMAT, type Pack } from './types';

const PACK = { format: FORMAT, mark: 'm', garden: 'Rill', revision: 1, stakes: [], jobs: [], first: null, writing: { units: 'metric', decimal_mark: '.' } } as unknown as Pack;

/** A phone whose program answers as `now.answers` says: with the plan, or with a refusal of that number. */
async function phone(now: { answers: number }): Promise<Carry> {
  const never = (): Promise<never> => Promise.reject(new Error('not asked for'));
  const link: Link = {
    home: false,
    pack: () => (now.answers === 200 ? Promise.resolve(PACK) : Promise.reject(new Refusal(now.answers, 'no'))),
    together: () => Promise.resolve(NOBODY),
    views: never,
    day: never,
    give: never,
    enter: () => Promise.resolve(),
  };
  const keep = { lasting: true, packs: () => Promise.resolve([]), putPack: () => Promise.resolve(), notes: () => Promise.resolve([]), put: () => Promise.resolve(), drop: () => Promise.resolve() };
  const carry = new Carry(keep, link, { get: () => Promise.resolve(null), put: () => Promise.resolve() });
  await carry.start(null);
  return carry;
}

afterEach(() => vi.useRealTimers());

it.each([[401, 'door'], [403, 'shut']])('at the door (%i) the program is asked again as soon as elsewhere', async (status, where) => {
  vi.useFakeTimers();
  const now = { answers: status };
  const carry = await phone(now);
  expect(carry.where).toBe(where);
  now.answers = 200;
  await vi.advanceTimersByTimeAsync(3_000);
  expect([carry.where, carry.pack?.garden]).toEqual(['here', 'Rill']);
});
it('a phone at the door notices that the program has gone', async () => {
  vi.useFakeTimers();
  const now = { answers: 401 };
  const carry = await phone(now);
  now.answers = 0;
  await vi.advanceTimersByTimeAsync(3_000);
  expect(carry.where).toBe('away');
});
it('nobody is asked while the page is not looked at', async () => {
  vi.useFakeTimers();
  const now = { answers: 401 };
  const carry = await phone(now);
  const seen = vi.spyOn(document, 'visibilityState', 'get').mockReturnValue('hidden');
  now.answers = 200;
  await vi.advanceTimersByTimeAsync(30_000);
  expect(carry.where).toBe('door');
  seen.mockRestore();
});
