import { describe, expect, it } from 'vitest';
import type { Writing } from '../lib/api/types';
import { again, allowed, asked, closes, closing, heights, legAgain, lineOf, means, order, sightsOf, startOf, type Sighted } from './levelling';
import { nameable } from './names';
import type { KeptNote, PackStake } from './types';

const writing = { units: 'metric', decimal_mark: '.' } as Writing;
const feet = { units: 'feet', decimal_mark: '.' } as Writing;
const stake = (name: string, x: number, y: number, more: Partial<PackStake> = {}): PackStake => ({ id: name.toLowerCase(), name, about: '', at: [x, y], lost: [], ...more });
const stakes = [stake('A', 0, 0), stake('B', 6, 0), stake('C', 12, 0), stake('D', 12, 10)];
function sights(text: string): Sighted[] {
  return text.split('; ').map((line, i) => {
    const [sight, on, read] = line.split(' ');
    return { id: `n${i}`, sight: sight as Sighted['sight'], stake: on!, m: Number(read), text: read! };
  });
}
const ROUND = 'back A 1.450; between B 1.210; fore C 0.855; back C 1.120; fore D 1.905; back D 1.380; fore A 1.190';

describe('a round of levels', () => {
  it('asks for a back sight, then for stakes, turns on a fore sight, and ends on a height that is known', () => {
    const all = sights(ROUND);
    expect([0, 1, 2, 3, 4, 5, 6, 7].map((n) => asked(all.slice(0, n), stakes).what)).toEqual(['begin', 'on', 'on', 'turned', 'on', 'turned', 'on', 'ended']);
    expect(asked(sights('back A 1.4; fore C 0.9'), stakes)).toEqual({ what: 'turned', stake: 'C' });
    expect(asked(sights('back A 1.4; fore C 0.9'), [stake('A', 0, 0, { level: 2.7 }), stakes[1]!, stake('C', 12, 0, { level: 3.2 })]).what).toBe('ended');
  });
  it('is not proved by a known height where it began on one that is not known', () => {
    const one = [...stakes.slice(0, 2), stake('C', 12, 0, { level: 3.2 })];
    expect(asked(sights('back A 1.4; fore C 0.9'), one)).toEqual({ what: 'turned', stake: 'C' });
    expect(closing(sights('back A 1.4; fore C 0.9'), one)).toBeNull();
    expect(closing(sights('back A 1.4; fore C 0.9; back C 1.0; fore A 1.5'), one)).toBeCloseTo(0);
    const both = [stake('A', 0, 0, { level: 2.7 }), ...one.slice(1)];
    expect(closing(sights('back A 1.4; fore C 0.9'), both)).toBeCloseTo(0);
  });
  it('reduces heights by rise and fall, a sight between carrying none on', () => {
    expect(heights(sights(ROUND), stakes).map((z) => Math.round(z * 1000))).toEqual([0, 240, 595, 595, -190, -190, 0]);
    expect(heights(sights(ROUND.replace('1.210', '9.999')), stakes).at(-1)).toBeCloseTo(0);
    expect(heights(sights('back A 1.4; fore C 0.9'), [stake('A', 0, 0, { level: 50 })])[1]).toBeCloseTo(50.5);
  });
  it('says height and fall at once, also where two stakes are level', () => {
    expect(means(sights('back A 1.450; between B 1.210'), stakes, writing)!.words).toBe('B lies 0.240 m above A. From A to B the ground rises 1 in 25.');
    expect(means(sights('back A 1.450; between B 1.451'), stakes, writing)!.words).toContain('A and B are level.');
    expect(means(sights('back A 1.450; between B 1.210; between C 1.330'), stakes, writing)!.words).toContain('From B to C the ground falls 1 in 50.');
  });
  it('says when an earlier round read otherwise, before the level is moved', () => {
    const known = [stake('A', 0, 0, { height: 0 }), stake('B', 6, 0, { height: 0.34 })];
    const told = means(sights('back A 1.450; between B 1.210'), known, writing)!;
    expect(told.good).toBe(false);
    expect(told.words).toContain('That is 10 cm lower than was read before, where 7 mm could be.');
    expect(means(sights('back A 1.450; between B 1.112'), known, writing)!.good).toBe(true);
  });
  // SKAA 1023 Levelling, part 3, supplementary reading, "Precision of levelling": three set-ups, 6 mm off, 9 mm allowed: accepted.
  it('closes within five millimetres times the root of the set-ups', () => {
    expect(Math.round(1000 * allowed(sights(ROUND)))).toBe(9);
    expect(closes(sights(ROUND), stakes, writing)).toEqual({ good: true, words: 'The round closes exactly; 9 mm is allowed, 5 mm times the root of 3 set-ups. The heights stand.' });
    const low = sights(ROUND.replace('1.190', '1.196'));
    expect(closing(low, stakes)).toBeCloseTo(-0.006);
    expect(closes(low, stakes, writing)!.words).toContain('closes 6 mm low');
    expect(closes(sights(ROUND.replace('1.190', '1.200')), stakes, writing)!.good).toBe(false);
  });
  it('names what to read again: swapped digits, a metre, else the last set-up', () => {
    const swapped = sights(ROUND.replace('0.855', '0.585'));
    expect(closes(swapped, stakes, writing)!.words).toContain('Perhaps the fore sight on C: digits swapped? 0.585 for 0.855. Read A to C again.');
    const metre = sights(ROUND.replace('1.905', '2.905'));
    expect(closes(metre, stakes, writing)!.words).toContain('a metre miscounted?');
    expect(legAgain(sights(ROUND.replace('1.190', '1.247')), -0.057, writing)).toEqual(['D', 'A']);
    expect(closes(sights(ROUND.replace('1.905', String(1.905 + 0.3048))), stakes, feet)!.words).toContain('a foot miscounted?');
  });
  it('tells of a set-up read again whether the round closes with it, was right, or needs a third reading', () => {
    const bad = sights(ROUND.replace('0.855', '0.585'));
    expect(again(bad, sights('back A 1.300; fore C 0.706'), ['A', 'C'], stakes, writing)).toMatchObject({ good: true, next: null });
    expect(again(bad, sights('back A 1.300; fore C 0.706'), ['A', 'C'], stakes, writing)!.words).toContain('the round closes within 1 mm');
    expect(again(bad, sights('back C 1.300; fore D 2.086'), ['C', 'D'], stakes, writing)).toMatchObject({ next: ['A', 'C'] });
    expect(again(bad, sights('back A 1.300; fore C 1.206'), ['A', 'C'], stakes, writing)).toMatchObject({ good: false, next: ['A', 'C'] });
  });
  it('waits, where the set-up is read again in two, until the second stake is reached', () => {
    const bad = sights(ROUND.replace('0.855', '0.585'));
    const read = (text: string) => again(bad, sights(text), ['A', 'C'], stakes, writing);
    expect(read('back A 1.300; fore B 1.060')).toBeNull();
    expect(read('back B 1.300; fore C 0.945')).toBeNull();
    expect(read('back A 1.300; fore B 1.060; back B 1.200; fore C 0.846')).toMatchObject({ good: true, next: null });
  });
  it('finds its own sights among the notes, and none that was taken back or is of another round', () => {
    const note = (text: string, more: Partial<KeptNote> = {}): KeptNote => ({ note: { id: text, made: '', day: '', what: 'reading', text }, mark: '', state: 'taken', because: '', words: '', ...more });
    const notes = [note(lineOf('back', 'A', '1.450', 'r1')), note(lineOf('fore', 'C', '0.855', 'r2')), note(lineOf('fore', 'B', '0.9', 'r1'), { unread: true }), note('A B 12.34')];
    expect(sightsOf(notes, 'r1', writing).map((s) => [s.sight, s.stake, s.m])).toEqual([['back', 'A', 1.45]]);
    expect(sightsOf([note(lineOf('back', 'A', '4\' 9 1/8"', 'r1'))], 'r1', feet)[0]!.m).toBeCloseTo(1.451, 3);
  });
  it('reads sights on a stake whose name holds a space', () => {
    const there = [stake('gate post', 0, 0), stake('gate', 3, 0)];
    const note = (text: string): KeptNote => ({ note: { id: text, made: '', day: '', what: 'reading', text }, mark: 'm', state: 'waiting', because: '', words: '' });
    const read = sightsOf([note(lineOf('back', 'gate post', '1.45', 'r1')), note(lineOf('between', 'gate', '1.20', 'r1'))], 'r1', writing, there);
    expect(read.map((s) => [s.stake, s.m])).toEqual([['gate post', 1.45], ['gate', 1.2]]);
  });
  it('names stakes that are there whatever they are called, and new ones by a letter first', () => {
    const there = [stake('gate post', 0, 0, { level: 1 }), stake('1', 3, 0), stake('P-2', 6, 0)];
    expect(['1', 'P-2', 'K', '2', 'gate post', ''].map((name) => nameable(name, there))).toEqual([true, true, true, false, true, false]);
    expect(startOf(there)).toBe('gate post');
  });
  it('begins on a known height and goes to the nearest stake each time', () => {
    expect(startOf([...stakes, stake('Z', 40, 0, { level: 10 })])).toBe('Z');
    expect(order(stakes, 'A', [])).toEqual(['B', 'C', 'D']);
    expect(order(stakes, 'A', sights('back A 1; between D 1'))).toEqual(['C', 'B']);
  });
});
