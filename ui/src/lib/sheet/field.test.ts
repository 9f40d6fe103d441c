import { describe, expect, it } from 'vitest';
import type { AmountField } from '../api/types';
import { amountAt, bandOf, between, cellsOf, readField, rgb } from './field';

const bytes = [0, 125, 250, 255, 50, 100];
const field: AmountField = {
  x0: 1, y0: 2, step: 0.5, rows: 2, columns: 3, low: 2, high: 12, unit: 'h', digits: 1, cells: btoa(String.fromCharCode(...bytes)),
  bands: [{ least: 0, words: 'shade', shade: 0 }, { least: 4, words: 'part sun', shade: 3 }, { least: 6, words: 'full sun', shade: 6 }],
};
const writing = { units: 'metric', decimal_mark: ',', currency: 'EUR', paper: 'A4' } as const;

describe('amounts over the ground', () => {
  it('reads a byte a cell, rows from the south', () => {
    expect([...cellsOf(field)]).toEqual(bytes);
    expect(amountAt(field, [1.1, 2.1])).toBe(2);
    expect(amountAt(field, [1.6, 2.4])).toBe(7);
    expect(amountAt(field, [1.6, 2.6])).toBe(4);
    expect(amountAt(field, [1.1, 2.6])).toBeNull();
    expect(amountAt(field, [0.9, 2.1])).toBeNull();
    expect(amountAt(field, [2.6, 2.1])).toBeNull();
  });
  it('says the value and its band in the person’s writing', () => {
    expect(readField(field, [1.6, 2.4], writing)).toBe('7,0 h: full sun');
    expect(readField(field, [0, 0], writing)).toContain('Nothing');
    expect(bandOf(field, -1).words).toBe('shade');
    expect(bandOf(field, 4).words).toBe('part sun');
  });
  it('goes straight between middles, and leaves out what is not known', () => {
    const cells = cellsOf(field);
    expect(between(field, cells, 0.5, 0)).toBeCloseTo(4.5, 9);
    expect(between(field, cells, 1.5, 0.5)).toBeCloseTo(2 + (10 * (125 + 250 + 50 + 100)) / 4 / 250, 9);
    expect(between(field, cells, 0, 1)).toBeNull();
    expect(rgb('#12355e')).toEqual([0x12, 0x35, 0x5e]);
  });
});
