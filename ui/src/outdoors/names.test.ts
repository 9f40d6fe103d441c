import { describe, expect, it } from 'vitest';
import { nameable, names, namesOf, twoNames, written } from './names';
import type { PackStake } from './types';

const stake = (id: string, name: string): PackStake => ({ id, name, about: '', at: [0, 0], lost: [] });

describe('stakes in a line', () => {
  it('are called by their names, also with a space; by their id where the name means something else', () => {
    expect([stake('gate-post', 'gate post'), stake('p-2', 'P-2'), stake('k', 'post #3')].map(written)).toEqual(['gate post', 'P-2', 'k']);
    expect(nameable('gate post', [stake('gate-post', 'gate post')])).toBe(true);
    expect(nameable('gate post', [])).toBe(false);
  });
  it('are found at the head of a reading', () => {
    const known = namesOf([stake('gate-post', 'gate post'), stake('gate', 'gate'), stake('a', 'A'), stake('p-2', 'P-2')]);
    expect(twoNames('gate post A 5.20', known)).toEqual(['gate post', 'A', '5.20']);
    expect(twoNames('A  gate post rises 0.12', known)).toEqual(['A', 'gate post', 'rises 0.12']);
    expect(twoNames('gate A 5.20', known)).toEqual(['gate', 'A', '5.20']);
    expect(twoNames('P-2 A 5.20', known)).toEqual(['P-2', 'A', '5.20']);
    expect(twoNames('A-K 5.20', known)).toEqual(['A', 'K', '5.20']);
    expect(twoNames('K 5.20', known)).toBe(null);
  });
  it('are told by whole words', () => {
    expect(names('gate post A 5', 'gate post')).toBe(true);
    expect(names('gateway A 5', 'gate')).toBe(false);
  });
});
