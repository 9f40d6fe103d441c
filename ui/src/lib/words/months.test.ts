import { expect, test } from 'vitest';
import { keepMonth, monthOfDay, runsOf, stepMonth, stepped, writeMonth, writeMonthShort } from './months';

test('months of the plan are written and kept', () => {
  expect(writeMonth(2027, 0)).toBe('January 2027');
  expect(writeMonth(2027, 27)).toBe('April 2029');
  expect(writeMonthShort(2027, 27)).toBe('Apr 2029');
  expect(keepMonth(2027, 11)).toBe('2027-12');
  expect(keepMonth(2027, 12)).toBe('2028-01');
});
test('a day outside the plan counts as its first or last month', () => {
  expect(monthOfDay(2027, 72, new Date(2026, 5, 1))).toBe(0);
  expect(monthOfDay(2027, 72, new Date(2028, 2, 31))).toBe(14);
  expect(monthOfDay(2027, 72, new Date(2050, 0, 1))).toBe(71);
});
test('a step stays within the plan with the whole job', () => {
  expect(stepMonth(70, 12, 72, 3)).toBe(69);
  expect(stepMonth(3, -12, 72, 1)).toBe(0);
  expect(stepMonth(3, 1, 72, 1)).toBe(4);
  expect(stepMonth(0, 1, 2, 5)).toBe(0);
});
test('neighbouring months are one run', () => {
  expect(runsOf([3, 1, 2, 7, 12, 13])).toEqual([[1, 4], [7, 8], [12, 14]]);
  expect(runsOf([])).toEqual([]);
});
test('a stepped line goes from low at the bottom to high at the top', () => {
  expect(stepped([0, 50], 0, 50)).toBe('0,100.00 1,100.00 1,0.00 2,0.00');
  expect(stepped([5], 5, 5)).toBe('0,100.00 1,100.00');
});
