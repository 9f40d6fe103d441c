import { describe, expect, it } from 'vitest';
import type { Writing } from '../api/types';
import { nearWords } from './near';

const METRES = { units: 'metric', decimal_mark: '.' } as unknown as Writing;
const FEET = { units: 'feet', decimal_mark: '.' } as unknown as Writing;

describe('where a place lies', () => {
  it('is said by the two nearest names: how far from its edge, on which side of them', () => {
    // A 3-4-5 triangle: the corner of the box at (4, 3) lies 5 m from the door.
    const names = [{ words: 'Back door', at: [0, 0] as const }, { words: 'Shed', at: [5, 15] as const }, { words: 'Far gate', at: [90, 90] as const }];
    expect(nearWords([4, 3, 6, 5], names, METRES)).toBe('It lies 5\u00a0m north-east of Back door, 10\u00a0m south of Shed.');
    expect(nearWords([4, 3, 6, 5], names.slice(0, 1), FEET)).toBe('It lies 16\u00a0feet north-east of Back door.');
  });
  it('is at what lies in it, and nothing is said where nothing has a name', () => {
    expect(nearWords([0, 0, 2, 2], [{ words: 'Bench', at: [1, 1] }], METRES)).toBe('It lies at Bench.');
    expect(nearWords([0, 0, 2, 2], [], METRES)).toBe('');
  });
});
