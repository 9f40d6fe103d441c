import { expect, test } from 'vitest';
import { takenAt } from './taken';

test('a picture taken late in the evening is of that day, not of the one by Greenwich', () => {
  expect(takenAt(new Date(2027, 5, 20, 23, 45).getTime())).toEqual({ day: '2027-06-20', hour: 23.75 });
  expect(takenAt(new Date(2027, 0, 2, 0, 10).getTime())).toEqual({ day: '2027-01-02', hour: 0.17 });
});
