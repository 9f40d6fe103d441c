import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { fetchPart, WAITS, type Told } from './coming';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

/** Fetch by these answers in turn: a part, a failure (null), or one that never comes (undefined). */
function fetching(...answers: (string | null | undefined)[]): { told: Told<string>[]; asked: () => number; stop: () => void } {
  const told: Told<string>[] = [];
  const load = vi.fn(() => {
    const next = answers.shift();
    if (next === undefined) return new Promise<string>(() => undefined);
    return next === null ? Promise.reject(new Error('gone')) : Promise.resolve(next);
  });
  const stop = fetchPart(load, (now) => told.push(now));
  return { told, asked: () => load.mock.calls.length, stop };
}
const states = (told: Told<string>[]): string[] => told.map((t) => t.state);

test('what comes soon is shown without a word', async () => {
  const { told } = fetching('page');
  await vi.advanceTimersByTimeAsync(60_000);
  expect(told).toEqual([{ state: 'waiting' }, { state: 'here', part: 'page' }]);
});

test('a first failure is tried again in silence', async () => {
  const { told, asked } = fetching(null, 'page');
  await vi.advanceTimersByTimeAsync(WAITS.again);
  expect(told.at(-1)).toEqual({ state: 'here', part: 'page' });
  expect([states(told), asked()]).toEqual([['waiting', 'here'], 2]);
});

test('a second failure is told, and nothing after it', async () => {
  const { told, asked } = fetching(null, null, 'page');
  await vi.advanceTimersByTimeAsync(60_000);
  expect([states(told), asked()]).toEqual([['waiting', 'lost'], 2]);
});

test('what is slow is said to be, then counts as lost', async () => {
  const { told } = fetching(undefined);
  await vi.advanceTimersByTimeAsync(WAITS.quiet - 1);
  expect(states(told)).toEqual(['waiting']);
  await vi.advanceTimersByTimeAsync(WAITS.lost);
  expect(states(told)).toEqual(['waiting', 'slow', 'lost']);
});

test('who has gone elsewhere is told nothing more', async () => {
  const { told, stop } = fetching(undefined);
  stop();
  await vi.advanceTimersByTimeAsync(60_000);
  expect(states(told)).toEqual(['waiting']);
});
