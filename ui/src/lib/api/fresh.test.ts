import { expect, test } from 'vitest';
import { freshened } from './fresh';
import type { VerdictCell } from './types';

const cell = (year: number, because: string, waiting = false): VerdictCell => ({ year, because, waiting }) as VerdictCell;
const told = [cell(2027, 'fresh')];
const reply = [cell(2027, 'as it was', true), cell(2028, 'known')];

test('what is still to be judged shows what was told before', () => {
  expect(freshened(reply, told, 3, false)).toEqual([cell(2027, 'fresh', true), cell(2028, 'known')]);
});
test('a reply that comes after its event leaves the fresh verdict', () => {
  expect(freshened(reply, told, 3, true)).toEqual([cell(2027, 'fresh'), cell(2028, 'known')]);
});
test('what is told at the end stands', () => {
  expect(freshened(reply, told, 0, true)).toBe(reply);
  expect(freshened(reply, undefined, 3, false)).toBe(reply);
});
