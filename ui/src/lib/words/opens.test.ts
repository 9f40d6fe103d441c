import { expect, test } from 'vitest';
import { opensAt } from './opens';

const NOW = new Date(2026, 10, 28);
const opens = (years: number[]) => opensAt(years, 8, NOW);

test('a garden opens at today’s month of today’s year where the plan has it', () => {
  expect(opens([2024, 2025, 2026, 2027])).toEqual({ year: 2026, month: 11 });
});
test('where the plan has no such year, the nearest opens in leaf', () => {
  expect(opens([2027, 2028])).toEqual({ year: 2027, month: 8 });
  expect(opens([2023, 2024])).toEqual({ year: 2024, month: 8 });
});
test('with no years at all it is today', () => {
  expect(opens([])).toEqual({ year: 2026, month: 11 });
});
