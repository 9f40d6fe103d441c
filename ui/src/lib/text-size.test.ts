// @vitest-environment happy-dom
import { afterEach, expect, test } from 'vitest';
import { textSize } from './text-size';

afterEach(() => document.documentElement.removeAttribute('style'));

test.each([['16px', 1], ['32px', 2], ['20px', 1.25]])('a browser whose text is %s writes %f times as large as ordinarily', (size, times) => {
  document.documentElement.style.fontSize = size;
  expect(textSize()).toBe(times);
});
