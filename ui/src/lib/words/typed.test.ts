import { expect, test } from 'vitest';
import type { Writing } from '../api/types';
import { beginsTyping, readTyped, type Typed } from './typed';

const writing: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
const typed = (text: string): Typed => {
  const read = readTyped(text, writing);
  if (!read.ok) throw new Error(read.why);
  return read.typed;
};

test('a length', () => expect(typed('3.4')).toEqual({ length_m: 3.4 }));
test('feet and inches', () => expect(typed(`12' 6"`).length_m).toBeCloseTo(3.81, 9));
test('an angle alone', () => expect(typed('<45')).toEqual({ angle_deg: 45 }));
test('a length and an angle', () => expect(typed('3.4<90')).toEqual({ length_m: 3.4, angle_deg: 90 }));
test('a wind', () => expect(typed('3.4 < NE')).toEqual({ length_m: 3.4, angle_deg: 45 }));
test('a turn from the last side', () => {
  expect(typed('<+90')).toEqual({ angle_deg: 90, relative: true });
  expect(typed('2<-90')).toEqual({ length_m: 2, angle_deg: -90, relative: true });
});
test('more than a full circle is brought round', () => expect(typed('<405').angle_deg).toBe(45));
test('a distance along', () => expect(typed('@1.5')).toEqual({ along_m: 1.5 }));
test('two sizes', () => expect(typed('3.8x2.5')).toEqual({ length_m: 3.8, second_m: 2.5 }));
test.each(['', 'abc', '<abc', '@', '3.4<', '3.4x'])('%s is refused with a sentence', (text) => {
  const read = readTyped(text, writing);
  expect(read.ok).toBe(false);
  expect(read.ok ? '' : read.why).toMatch(/\.$/);
});
test('keys that begin typing', () => {
  expect(['3', '<', '@', '.', "'"].every(beginsTyping)).toBe(true);
  expect(['m', 'Enter', 'ArrowLeft', ' '].some(beginsTyping)).toBe(false);
});
