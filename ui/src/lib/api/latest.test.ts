import { expect, test } from 'vitest';
import { Latest } from './latest';

const later = () => {
  const open: ((n: number) => void)[] = [];
  return { open, ask: (): Promise<number> => new Promise((done) => open.push(done)) };
};
const settle = (): Promise<void> => new Promise((go) => setTimeout(go));

test('while one is away only the newest waits', async () => {
  const { open, ask } = later();
  const asked: number[] = [];
  const told: number[] = [];
  const latest = new Latest<number, number>((q) => (asked.push(q), ask()), (a) => told.push(a));
  [1, 2, 3, 4].forEach((q) => latest.put(q));
  expect(asked).toEqual([1]);
  open[0]!(10);
  await settle();
  expect(asked).toEqual([1, 4]);
  open[1]!(40);
  await settle();
  expect(told).toEqual([10, 40]);
});
test('what was dropped is never told', async () => {
  const { open, ask } = later();
  const told: number[] = [];
  const latest = new Latest<number, number>(ask, (a) => told.push(a));
  latest.put(1);
  latest.drop();
  latest.put(2);
  open[0]!(10);
  open[1]!(20);
  await settle();
  expect(told).toEqual([20]);
});
test('a failure is said and the next still goes', async () => {
  const faults: unknown[] = [];
  const told: number[] = [];
  const latest = new Latest<number, number>(async (q) => { if (q === 1) throw new Error('no'); return q; }, (a) => told.push(a), (e) => faults.push(e));
  latest.put(1);
  latest.put(2);
  await settle();
  expect(faults).toHaveLength(1);
  expect(told).toEqual([2]);
});
test('what is known already is not waited for, and told late', async () => {
  const { open, ask } = later();
  const asked: number[] = [];
  const told: [number, boolean][] = [];
  const latest = new Latest<number, number>((q) => (asked.push(q), ask()), (a, _, late) => told.push([a, late]));
  latest.put(1);
  latest.put(2);
  latest.past();
  expect(asked).toEqual([1, 2]);
  open[0]!(10);
  await settle();
  latest.put(3);
  expect(asked).toEqual([1, 2]);
  open[1]!(20);
  await settle();
  expect(asked).toEqual([1, 2, 3]);
  open[2]!(30);
  await settle();
  expect(told).toEqual([[10, true], [20, false], [30, false]]);
});
test('an answer that comes after a newer one is not told, nor its failure', async () => {
  const { open, ask } = later();
  const told: number[] = [];
  const faults: unknown[] = [];
  const latest = new Latest<number, number>((q) => (q === 9 ? Promise.reject(new Error('no')) : ask()), (a) => told.push(a), (e) => faults.push(e));
  latest.put(1);
  latest.past();
  latest.put(2);
  open[1]!(20);
  open[0]!(10);
  await settle();
  expect(told).toEqual([20]);
  latest.put(9);
  latest.past();
  latest.put(3);
  await settle();
  expect(faults).toEqual([]);
  open[2]!(30);
  await settle();
  expect(told).toEqual([20, 30]);
});
test('past while nothing is away asks nothing', () => {
  const asked: number[] = [];
  const latest = new Latest<number, number>((q) => (asked.push(q), Promise.resolve(q)), () => undefined);
  latest.past();
  expect(asked).toEqual([]);
  latest.put(1);
  expect(asked).toEqual([1]);
});
