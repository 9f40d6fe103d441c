import { expect, test } from 'vitest';
import { fileSize } from './size';

test('a size is told in kilobytes or megabytes, never as nothing', () => {
  expect([0, 400, 12_345, 49_999, 50_000, 2_345_678].map(fileSize)).toEqual(['1 kB', '1 kB', '12 kB', '50 kB', '0.1 MB', '2.3 MB']);
});
