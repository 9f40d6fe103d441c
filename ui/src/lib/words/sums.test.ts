import { expect, test } from 'vitest';
import type { Writing } from '../api/types';
import { sparedHours, writeMoney, writeMoneyInFull } from './sums';

const writing = (more: Partial<Writing>): Writing => ({ units: 'metric', decimal_mark: '.', currency: 'GBP', paper: 'A4', ...more });

test('money on the board is written as on paper', () => {
  expect(writeMoney(237000, writing({}))).toBe('£2,370');
  expect(writeMoney(-123456789, writing({}))).toBe('−£1,234,568');
  expect(writeMoney(240000, writing({ currency: 'EUR', decimal_mark: ',' }))).toBe('2.400\u00a0€');
  expect(writeMoney(90000, writing({ currency: 'CHF', currency_sign: 'CHF' }))).toBe('CHF\u00a0900');
  expect(writeMoney(5000, writing({ currency: 'JPY', currency_sign: '¥', minor: 1 }))).toBe('¥5,000');
});

test('what was spent keeps its pence', () => {
  expect(writeMoneyInFull(3500, writing({}))).toBe('£35');
  expect(writeMoneyInFull(123405, writing({}))).toBe('£1,234.05');
  expect(writeMoneyInFull(-50, writing({}))).toBe('−£0.50');
  expect(writeMoneyInFull(1250, writing({ currency: 'EUR', decimal_mark: ',' }))).toBe('12,50\u00a0€');
  expect(writeMoneyInFull(5000, writing({ currency: 'JPY', currency_sign: '¥', minor: 1 }))).toBe('¥5,000');
});

test('hours that stand beside each other add up', () => {
  const left = (given: number, upkeep: number, worked: number): number => sparedHours({ given, upkeep, worked, spare: given - upkeep - worked });
  expect(left(300, 0, 34.5)).toBe(265);
  expect(left(300, 12.4, 34.4)).toBe(254);
  expect(left(20, 12.6, 8.6)).toBe(-2);
  expect([left(20, 10.5, 9.5), left(0.3, 0.1, 0.2), left(20, 10.2, 10.1)], 'rounding makes none too many').toEqual([0, 0, 0]);
  expect(left(20.4, 10.49, 10.49), 'nor hides any').toBe(-1);
});
