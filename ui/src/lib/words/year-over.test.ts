import { expect, test } from 'vitest';
import { ofSeason, yearOver } from './year-over';

test('a year is over from November to the end of January, in the south from May to the end of July', () => {
  const on = (month: number, day: number, south = false): number | null => yearOver(new Date(2028, month - 1, day), south);
  expect([on(10, 31), on(11, 1), on(12, 31), on(1, 31), on(2, 1)]).toEqual([null, 2028, 2028, 2027, null]);
  expect([on(4, 30, true), on(5, 1, true), on(7, 31, true), on(8, 1, true), on(1, 5, true)]).toEqual([null, 2028, 2028, null, null]);
});
test('a season in the south is of two years', () => {
  expect(['2027-05-01', '2027-12-31', '2028-04-30', '2028-05-01'].map((d) => ofSeason(d, 2028, true))).toEqual([true, true, true, false]);
  expect(['2027-12-31', '2028-01-01'].map((d) => ofSeason(d, 2028))).toEqual([false, true]);
});
