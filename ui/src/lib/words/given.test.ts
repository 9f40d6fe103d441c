import { describe, expect, it } from 'vitest';
import { clockText, held, optionAt, placeOf, placeText } from './given';

const bench = { id: 'bench', words: 'Bench', at: [2, 3] as const };
const loose = { id: 'loose', words: 'Loose', at: null };

describe('what a question is given', () => {
  it('says a touched point so that it is read back', () => {
    expect(placeText([1.23456, -2])).toBe('1.235,-2.000');
    expect(placeOf(placeText([1.5, -2]), [])).toEqual([1.5, -2]);
  });
  it('takes a named place by its id, and knows one that was touched exactly', () => {
    expect(placeOf('bench', [bench, loose])).toEqual([2, 3]);
    expect(placeOf('loose', [bench, loose])).toBeNull();
    expect(placeOf('nobody', [bench])).toBeNull();
    expect(optionAt([bench, loose], [2.01, 3])).toBe(bench);
    expect(optionAt([bench, loose], [2.1, 3])).toBeUndefined();
  });
  it('writes hours as a clock does', () => {
    expect(clockText(14.5)).toBe('14:30');
    expect(clockText(8.999999)).toBe('09:00');
    expect([held(30, 4, 21), held(-1, 4, 21), held(7, 4, 21)]).toEqual([21, 4, 7]);
  });
});
