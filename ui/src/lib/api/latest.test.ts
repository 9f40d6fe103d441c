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
