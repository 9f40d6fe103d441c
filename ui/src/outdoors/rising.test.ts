import { describe, expect, it } from 'vitest';
import type { Writing } from '../lib/api/types';
import { chain, closes, legsOf, lineOf, may, means, nextOf, order, riseOf, type Leg, type Worth } from './rising';
import type { KeptNote, PackStake } from './types';

const METRIC = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' } as Writing;
const FEET = { ...METRIC, units: 'feet' } as Writing;
const WORTH: Worth = { 'water level': { least_m: 0.003 * Math.SQRT2, per_m: 0 }, 'line level': { least_m: 0.005, per_m: 0.003 } };
const stake = (name: string, x: number, y: number, more: Partial<PackStake> = {}): PackStake => ({ id: name.toLowerCase().replace(' ', '-'), name, about: '', at: [x, y], lost: [], ...more });
const STAKES = [stake('A', 0, 0), stake('gate post', 10, 0), stake('C', 10, 10)];
const note = (text: string, id: string): KeptNote => ({ note: { id, made: id, day: '', what: 'reading', text }, mark: 'm', state: 'waiting', because: '', words: '' });
const leg = (a: string, b: string, m: number, read = ''): Leg => ({ id: `${a}${b}`, a, b, m, read });

describe('a round by hose, string or board', () => {
  it('rises by what the level line lies lower above the far ground', () => {
    expect(riseOf([{ near: '1.425', far: '1.302' }], METRIC)).toBeCloseTo(0.123, 9);
    expect(riseOf([{ near: '0', far: '0.12' }, { near: '0', far: '0.08' }], METRIC)).toBeCloseTo(-0.2, 9);
    expect(riseOf([{ near: 'x', far: '1' }], METRIC)).toBe(null);
  });
  it('writes lines that it reads again, also in feet and of a stake with a space', () => {
    const pairs = [{ near: '1.425', far: '1.302' }];
    const text = lineOf('A', 'gate post', 'water level', pairs, 'r1', METRIC);
    expect(text).toMatch(/^A gate post rises 0\.123\sm by water level {2}# round r1: 1\.425 and 1\.302$/);
    expect(legsOf([note(text, 'n1'), note(text.replace('r1', 'r2'), 'n2')], 'r1', STAKES, METRIC)).toEqual([{ id: 'n1', a: 'A', b: 'gate post', m: 0.123, read: '1.425 and 1.302' }]);
    const feet = lineOf('A', 'C', 'line level', [{ near: `2'`, far: `2' 6"` }], 'r1', FEET);
    expect(feet).toContain('A C falls ');
    expect(legsOf([note(feet, 'n1')], 'r1', STAKES, FEET)[0]!.m).toBeCloseTo(-0.1524, 3);
    const many = Array.from({ length: 40 }, () => ({ near: '0', far: '0.101' }));
    expect(lineOf('A', 'C', 'A-frame', many, 'r1', METRIC)).toMatch(/# round r1: 40 set-ups$/);
  });
  it('goes to the nearest, back to the first, and asks for the leg that was taken back', () => {
    expect(order([], 'A', 'A', STAKES)[0]).toBe('gate post');
    expect(order([leg('A', 'gate post', 0), leg('gate post', 'C', 0)], 'A', 'C', STAKES)[0]).toBe('A');
    const round = [leg('A', 'gate post', 0.1), leg('gate post', 'C', 0.2), leg('C', 'A', -0.3)];
    expect(nextOf(round, 'A', STAKES)).toEqual({ what: 'ended' });
    expect(nextOf([round[0]!, round[2]!], 'A', STAKES)).toEqual({ what: 'to', from: 'gate post', to: 'C' });
    expect(nextOf([round[0]!, round[2]!, round[1]!], 'A', STAKES)).toEqual({ what: 'ended' });
    expect(chain([round[0]!, round[2]!, round[1]!], 'A').way.map((l) => l.b)).toEqual(['gate post', 'C', 'A']);
  });
  it('may be off by what its tool leaves: 3 mm at either end of a hose, 3 mm a metre of string', () => {
    expect(may([leg('A', 'gate post', 0)], 'water level', WORTH, STAKES)).toBeCloseTo(2 * 0.003 * Math.SQRT2, 6);
    expect(may([leg('A', 'gate post', 0), leg('gate post', 'C', 0)], 'line level', WORTH, STAKES)).toBeCloseTo(2 * Math.hypot(0.03, 0.03), 6);
  });
  it('says what a leg means, and where an earlier round read otherwise', () => {
    const told = means(leg('A', 'gate post', 0.4), 'water level', WORTH, STAKES, METRIC);
    expect([told.good, told.words.replace(/\s/g, ' ')]).toEqual([true, 'gate post lies 0.400 m above A. From A to gate post the ground rises 1 in 25.']);
    const known = [stake('A', 0, 0, { height: 0 }), stake('C', 5, 0, { height: 0.1 })];
    expect(means(leg('A', 'C', 0.2), 'water level', WORTH, known, METRIC).words).toContain('10 cm higher than was read before');
  });
  it('closes, or names the leg that a slip of the pen explains', () => {
    const good = [leg('A', 'gate post', 0.1), leg('gate post', 'C', 0.2), leg('C', 'A', -0.296)];
    expect(closes(good, 'A', 'water level', WORTH, STAKES, METRIC)!.words).toMatch(/^The round closes 4 mm high; 15 mm could be/);
    const bad = [leg('A', 'gate post', 0.1, '1.30 and 1.20'), leg('gate post', 'C', 0.29, '1.52 and 1.23'), leg('C', 'A', -0.3, '1.00 and 1.30')];
    const told = closes(bad, 'A', 'water level', WORTH, STAKES, METRIC)!;
    expect([told.good, told.leg?.a, told.leg?.b]).toEqual([false, 'gate post', 'C']);
    expect(closes(good.slice(0, 2), 'A', 'water level', WORTH, STAKES, METRIC)).toBe(null);
  });
});
