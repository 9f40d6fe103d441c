import { expect, test } from 'vitest';
import { decimalMark } from './decimal-mark';

test.each([['de', ','], ['de-DE', ','], ['fr-CH', ','], ['en-GB', '.'], ['en-US', '.']])('people of %s write 1%s5', (language, mark) => {
  expect(decimalMark(language)).toBe(mark);
});

test.each([['de_DE.UTF-8', ','], ['de_DE@euro', ','], ['en-US@posix', '.'], ['C', '.'], ['POSIX', '.'], ['', '.'], ['not a language', '.']])(
  'what a system calls %j is read too, and stops nobody', (language, mark) => {
    expect(decimalMark(language)).toBe(mark);
  },
);
