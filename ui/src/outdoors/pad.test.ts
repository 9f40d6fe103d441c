import { describe, expect, it } from 'vitest';
import type { Writing } from '../lib/api/types';
import { readLength } from '../lib/words/length';
import { after, BACK, padRows } from './pad';

const METRIC: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
const COMMA: Writing = { ...METRIC, decimal_mark: ',' };
const FEET: Writing = { ...METRIC, units: 'feet' };
const typed = (keys: string[]): string => keys.reduce(after, '');

describe('the large keys', () => {
  it('have the garden’s own decimal mark', () => {
    expect(padRows(METRIC).flat().map((k) => k.key)).toContain('.');
    expect(padRows(COMMA).flat().map((k) => k.key)).toContain(',');
    expect(readLength(typed(['1', '2', ',', '3', '4']), COMMA)).toEqual({ ok: true, metres: 12.34 });
    expect(typed(['.', '5', '.'])).toBe('0.5');
  });
  it('write feet, inches and eighths as a tape shows them', () => {
    const long = typed(['1', '2', '\'', '6', '3/8']);
    expect(long).toBe('12\' 6 3/8"');
    const read = readLength(long, FEET);
    expect(read.ok && read.metres).toBeCloseTo((12 * 12 + 6.375) * 0.0254, 6);
    expect(typed(['6', '"', '1/2', '1/4'])).toBe('6 1/4"');
    expect(typed(['1/2'])).toBe('1/2"');
    expect(typed(['1', '2', '\'', '1/2'])).toBe('12\' 1/2"');
    expect(readLength('12\' 1/2"', FEET)).toEqual({ ok: true, metres: expect.closeTo(144.5 * 0.0254, 6) });
  });
  it('put no mark where no number stands before it', () => {
    expect(typed(['1', '2', '\'', '"'])).toBe('12\'');
    expect(typed(['6', '3/8', '\''])).toBe('6 3/8"');
    expect(typed(['6', '"', '\'', '1'])).toBe('6"');
    expect(typed(['\'', '"'])).toBe('');
  });
  it('take back one key at a time, a fraction whole', () => {
    expect(typed(['1', '2', '\'', '6', '3/8', BACK])).toBe('12\' 6');
    expect(typed(['1', '2', '\'', '6', BACK])).toBe('12\'');
    expect(typed(['1', '2', BACK])).toBe('1');
    expect(typed([BACK])).toBe('');
  });
});
