import { expect, test } from 'vitest';
import { joined } from './entry';

test('pieces are parted by one space', () => {
  expect(joined('', 0, 0, 'A')).toEqual({ text: 'A ', at: 2 });
  expect(joined('A', 1, 1, 'B')).toEqual({ text: 'A B ', at: 4 });
  expect(joined('A ', 2, 2, 'B')).toEqual({ text: 'A B ', at: 4 });
});
test('a piece goes where the cursor is, in place of what is marked', () => {
  expect(joined('A X 3', 2, 3, 'B')).toEqual({ text: 'A B 3', at: 4 });
  expect(joined('A B 4\n', 6, 6, 'C')).toEqual({ text: 'A B 4\nC ', at: 8 });
});
test('a new line has no spaces round it', () => {
  expect(joined('A B 4', 5, 5, '\n')).toEqual({ text: 'A B 4\n', at: 6 });
});
