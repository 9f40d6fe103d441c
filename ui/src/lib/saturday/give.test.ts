import { expect, it } from 'vitest';
import { provedAt, tickedAt } from './give';
import type { SatStep } from './steps';

const step = (has: string[]): SatStep => ({
  job: 'den', list: 'do', key: 'do/aa', words: 'Sweep up', two: '', has, done: false, by: [],
  proof: { m: 6, text: '6.00\u00a0m', within_m: 0.02, within: '2 cm', tape_m: 0.01, causes: [], ends: ['den-1', 'den-2'], names: ['1', '2'] },
});

it('a step ticked at the board was done by whoever has it, where it is one alone', () => {
  expect(tickedAt(step(['Cleo']), true).by).toBe('Cleo');
  expect(provedAt(step(['Cleo']))).toMatchObject({ by: 'Cleo', length: '6.00 m' });
  for (const has of [[], ['Cleo', 'Ben']]) expect([tickedAt(step(has), true).by, provedAt(step(has)).by]).toEqual([undefined, undefined]);
  expect(tickedAt(step(['Cleo']), false).by).toBeUndefined();
});
