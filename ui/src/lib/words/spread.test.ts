import { expect, it } from 'vitest';
import { spreadNumbers } from './spread';

it('reads a row however it is parted', () => {
  expect(spreadNumbers('1.5\t2\t-3', '.')).toEqual(['1.5', '2', '-3']);
  expect(spreadNumbers('1,5 2; 3', ',')).toEqual(['1,5', '2', '3']);
  expect(spreadNumbers('1, 2,3\n4', '.')).toEqual(['1', '2', '3', '4']);
});
it('leaves a length or a measure with its unit alone', () => {
  expect(spreadNumbers('3\' 6 1/2"', '.')).toEqual([]);
  expect(spreadNumbers('10 mm', '.')).toEqual([]);
  expect(spreadNumbers('12 34', '.')).toEqual([]);
});
