import { expect, test } from 'vitest';
import type { Writing } from '../api/types';
import { ownSizes } from './help';

const metric: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
const feet: Writing = { ...metric, units: 'feet', currency: 'USD', paper: 'Letter' };

test('sizes in an explanation are the person’s own', () => {
  expect(ownSizes('0.8 m: common practice, no source', feet)).toBe(`2' 7": common practice, no source`);
  expect(ownSizes('seated 1.2 m, standing 1.6 m', feet)).toBe(`seated 3' 11", standing 5' 3"`);
  expect(ownSizes('0.75 m: common practice', metric)).toBe('0.75 m: common practice');
  expect(ownSizes('0.75 m: common practice', { ...metric, decimal_mark: ',' })).toBe('0,75 m: common practice');
  expect(ownSizes('above 25 kg get help to lift it', feet)).toBe('above 25 kg get help to lift it');
});
