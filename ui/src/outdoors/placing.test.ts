import { describe, expect, it } from 'vitest';
import { apart, besideRing, takenBy, within, type Word } from './placing';

const SHEET = { wide: 360, high: 300 };
const RING = { px: 180, py: 60, rx: 20, ry: 20 };
const name = (words: string, px: number, py: number, half = 30): Word => ({ words, px, py, half });
const over = (at: { px: number; py: number }, half: number, tall: number, n: Word, nTall: number): boolean => Math.abs(at.px - n.px) < half + n.half && Math.abs(at.py - n.py) < (tall + nTall) / 2;

describe('the word beside a ring', () => {
  it('stands above it where that is free', () => {
    const at = besideRing(RING, 18, 16, SHEET, [], 13);
    expect(at.px).toBe(180);
    expect(at.py).toBeLessThan(60 - 20);
  });
  it('hides no name while there is a free place round the ring, however long the names', () => {
    for (const scale of [1, 1.5, 2]) {
      const names = [name('Gate', 180, 28, 26 * scale), name('Shed', 240, 60, 26 * scale)];
      const at = besideRing(RING, 18 * scale, 16 * scale, SHEET, names, 13 * scale);
      for (const n of names) expect(over(at, 18 * scale, 16 * scale, n, 13 * scale)).toBe(false);
    }
  });
  it('stays on the sheet, and off the arrow to the north', () => {
    const north = [320, 0, 360, 60] as const;
    const at = besideRing({ px: 340, py: 90, rx: 20, ry: 20 }, 18, 16, SHEET, [], 13, [north]);
    expect(at.px + 18).toBeLessThanOrEqual(360);
    expect(at.py - 8).toBeGreaterThanOrEqual(60);
    const tight = besideRing({ px: 20, py: 12, rx: 40, ry: 40 }, 18, 16, { wide: 60, high: 40 }, [], 13);
    expect([tight.px >= 18, tight.px <= 42, tight.py >= 8, tight.py <= 32]).toEqual([true, true, true, true]);
  });
});

describe('names on a small plan', () => {
  it('come whole within it, the first of those that would meet', () => {
    const names = within([name('Door', 4, 40), name('Bench', 50, 45), name('Pond', 200, 40), name('Far', 200, 2)], 13, SHEET);
    expect(names.map((n) => [n.words, n.px])).toEqual([['Door', 30], ['Bench', 50], ['Pond', 200]]);
    expect(apart(names, 13, [takenBy({ px: 210, py: 40, half: 10 }, 16)]).map((n) => n.words)).toEqual(['Door']);
  });
});
