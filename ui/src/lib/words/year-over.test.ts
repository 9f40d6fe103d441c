import { expect, test } from 'vitest';
import { yearOver } from './year-over';

test('a year is over from November to the end of January', () => {
  const on = (month: number, day: number): number | null => yearOver(new Date(2028, month - 1, day));
  expect([on(10, 31), on(11, 1), on(12, 31), on(1, 31), on(2, 1)]).toEqual([null, 2028, 2028, 2027, null]);
});
