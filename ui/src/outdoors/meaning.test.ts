import { describe, expect, it } from 'vitest';
import type { Writing } from '../lib/api/types';
import { amountOf } from './amount';
import { meaning, small } from './meaning';
import type { Proof } from './types';

const METRIC: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
const FEET: Writing = { units: 'feet', decimal_mark: '.', currency: 'USD', paper: 'Letter' };
const COMMA: Writing = { ...METRIC, decimal_mark: ',' };
// A rectangle 3 by 4: the diagonal is 5 exactly; a tape of 3 along a leg that is too long by e lengthens it by 0.6 e.
const DIAGONAL: Proof = { m: 5, text: '5.000 m', within_m: 0.012, within: '12 mm', tape_m: 0.009, causes: [{ point: '3', tape: 'A to 3', share: 0.6 }, { point: '3', tape: 'B to 3', share: 0.8 }] };

describe('what a check means', () => {
  it('says so when it is as it should be', () => {
    expect(meaning(DIAGONAL, 5, METRIC, '1 to 3').state).toBe('within');
    expect(meaning(DIAGONAL, 5.0015, FEET, '1 to 3').words).toBe('Just as it should be.');
    expect(meaning(DIAGONAL, 5.0015, METRIC, '1 to 3').words).not.toBe('Just as it should be.');
    const near = meaning(DIAGONAL, 4.992, METRIC, '1 to 3');
    expect(near.state).toBe('within');
    expect(near.words).toBe('8 mm short: within the 12 mm that careful tapes leave. Carry on.');
  });
  it('asks for more of what is built than far stakes give', () => {
    const far: Proof = { ...DIAGONAL, within_m: 0.05, within: '5 cm', wants: { m: 0.02, text: '20 mm' } };
    const off = meaning(far, 5.035, METRIC, '1 to 3');
    expect(off.state).toBe('unsure');
    expect(off.words).toContain('35 mm too long: long tapes from far stakes can leave that much, but what is built wants 20 mm.');
    expect(meaning(far, 5.015, METRIC, '1 to 3').state).toBe('within');
    expect(meaning({ ...far, wants: null }, 5.035, METRIC, '1 to 3').state).toBe('within');
  });
  it('asks for another tape where the tape itself could decide', () => {
    const edge = meaning(DIAGONAL, 5.018, METRIC, '1 to 3');
    expect(edge.state).toBe('unsure');
    expect(edge.words).toContain('Tape 1 to 3 once more');
  });
  it('says by how much 35 mm is too long, and which tapes would explain it', () => {
    const out = meaning(DIAGONAL, 5.035, METRIC, '1 to 3');
    expect(out.state).toBe('outside');
    expect(out.words).toContain('35 mm too long; careful tapes leave no more than 12 mm');
    // 35 mm / 0.8 = 44 mm and 35 mm / 0.6 = 58 mm
    expect(out.why).toEqual(['B to 3 would have to be 44 mm too long', 'A to 3 would have to be 58 mm too long']);
  });
  it('puts the usual slip of a tape first', () => {
    const slip = meaning(DIAGONAL, 5 + 0.6 * 0.3048, FEET, '1 to 3');
    expect(slip.why[0]).toBe(`A to 3 would have to be 1' too long: a foot miscounted?`);
  });
  it('names no tape that would have to be out by more than anyone misreads', () => {
    const far = meaning(DIAGONAL, 9, METRIC, '1 to 3');
    expect(far.why).toEqual([]);
    expect(far.words).toContain('if it reads the same, a point stands off');
    expect(meaning(DIAGONAL, 5.035, METRIC, '1 to 3').words).toContain('look at these.');
  });
});

describe('small lengths', () => {
  it('are said as people say them', () => {
    expect([0.0004, 0.0095, 0.035, 0.25, 1.204].map((m) => small(m, METRIC))).toEqual(['1 mm', '10 mm', '35 mm', '25 cm', '1.20 m']);
    expect(small(1.204, COMMA)).toBe('1,20 m');
    expect([0.0254, 0.0349, 0.0032, 0.3048, 0.4].map((m) => small(-m, FEET))).toEqual(['1"', '1 3/8"', '1/8"', "1'", `1' 3 3/4"`]);
  });
});

describe('an amount', () => {
  it('is read with the person’s own mark and never guessed', () => {
    expect(amountOf('2,5', COMMA)).toBe(2.5);
    expect(amountOf('2,5', METRIC)).toBeUndefined();
    expect(amountOf(' 1 200 ', METRIC)).toBe(1200);
    expect(amountOf('-3', METRIC)).toBeUndefined();
    expect(amountOf('', METRIC)).toBeUndefined();
  });
});
