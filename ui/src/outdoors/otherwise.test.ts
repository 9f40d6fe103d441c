import { describe, expect, it } from 'vitest';
import type { Writing } from '../lib/api/types';
import { beside } from './otherwise';

const writing = { units: 'metric', decimal_mark: '.' } as Writing;
const other = (m: number, text: string, by = 'Ben'): { m: number; text: string; by: string } => ({ m, text, by });

describe('what another phone read of the same line', () => {
  it('is shown before one has read it oneself', () => {
    expect(beside([other(12.34, '12.34', '')], null, 0.01, writing, 'A to B')[0]!.words).toMatch(/^It was read as 12\.34 before\. Read it yourself/);
  });
  it('counts as a second reading where tapes explain the difference', () => {
    const [one] = beside([other(12.34, '12.34')], 12.352, 0.01, writing, 'A to B');
    expect(one).toMatchObject({ good: true });
    expect(one!.words).toContain('Both count');
    expect(beside([other(12.34, '12.34')], 12.34, 0.01, writing, 'A to B')[0]!.words).toBe('Ben read the same.');
  });
  it('is told with what to do where they do not, and by which it is longer', () => {
    const [far] = beside([other(12.84, '12.84')], 12.34, 0.01, writing, 'A to B');
    expect(far!.good).toBe(false);
    expect(far!.said).toContain('Ben read 12.840 m, 50 cm longer');
    expect(far!.words).toMatch(/Ben read 12\.84, 50 cm longer: two careful tapes leave no more than 14 mm\..*once more, together if you can\. Both readings are kept\./);
    expect(beside([other(12.30, '12.30')], 12.34, 0.01, writing, 'A to B')[0]!.words).toContain('40 mm shorter');
  });
});
