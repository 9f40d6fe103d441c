import { expect, test } from 'vitest';
import { placeWords } from './place';

test('a place is told from where all is measured', () => {
  expect(placeWords([3.4, 12], { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' })).toBe('3.40 m east, 12.00 m north');
  expect(placeWords([-3.4, -0.5], { units: 'metric', decimal_mark: ',', currency: 'EUR', paper: 'A4' })).toBe('3,40 m west, 0,50 m south');
  expect(placeWords([3.048, 0], { units: 'feet', decimal_mark: '.', currency: 'USD', paper: 'Letter' })).toBe('10\' 0" east, 0" north');
});
