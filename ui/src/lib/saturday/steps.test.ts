import { describe, expect, it } from 'vitest';
import type { Pack, PackJob } from '../../outdoors/types';
import { countsOf, countsWords, jobOf, NOBODY, open, saturdayOf, sayingOf, type Live, type SatStep } from './steps';

const JOB = {
  id: 'den', name: 'Den', now: true, two: [], checks: [],
  points: [{ id: 'den-1', n: 1, words: 'corner 1', two: 'a tape over 5 m' }, { id: 'den-2', n: 2, words: 'corner 2', two: '' }],
  lists: [{ id: 'buy', words: 'To buy', items: [{ id: 'buy/aa', words: 'Bolts', two: '' }] }],
} as unknown as PackJob;
const held = (key: string, by: string, people = 1): Live['having'][number] => ({ job: 'den', key, by, phone: by, made: '', people });
const live = (more: Partial<Live>): Live => ({ ...NOBODY, ...more });
const step = (at: Live, key: string): SatStep => jobOf(JOB, at).parts.flatMap((p) => p.steps).find((s) => s.key === key)!;

describe('a step of a Saturday', () => {
  it('says who has it, and who is wanted still where it needs two', () => {
    expect(sayingOf(step(live({}), 'den-1'), 'Ana')).toEqual({ words: 'needs two: a tape over 5 m', tone: 'free' });
    expect(sayingOf(step(live({ having: [held('den-1', 'Ben')] }), 'den-1'), 'Ana').words).toBe('Ben has this; one more wanted: a tape over 5 m');
    expect(sayingOf(step(live({ having: [held('den-1', 'Ben'), held('den-1', 'Ana')] }), 'den-1'), 'Ana')).toEqual({ words: 'You and Ben have this', tone: 'mine' });
    expect(sayingOf(step(live({ having: [held('den-2', 'Ben')] }), 'den-2'), 'Ana')).toEqual({ words: 'Ben has this', tone: 'other' });
  });
  it('tells two who took what one can do', () => {
    expect(sayingOf(step(live({ having: [held('den-2', 'Ben'), held('den-2', 'ana')] }), 'den-2'), 'Ana')).toEqual({ words: 'You and Ben have this: agree who does it', tone: 'both' });
    expect(sayingOf(step(live({ having: [held('den-1', 'Ben'), held('den-1', 'Cleo'), held('den-1', 'Dan')] }), 'den-1'), 'Ana').words).toBe('Ben, Cleo and Dan have this, and two are enough: agree who does it');
  });
  it('is done once anybody ticked it, an older tick by its words', () => {
    const at = live({ ticks: [{ job: 'den', key: 'buy/3', text: 'Bolts', by: 'Ben', phone: 'b' }, { job: 'den', key: 'den-1', text: '', by: '', phone: '' }] });
    expect(sayingOf(step(at, 'buy/aa'), 'Ana')).toEqual({ words: 'done, Ben', tone: 'done' });
    expect(sayingOf(step(at, 'den-1'), 'Ana').words).toBe('done');
    expect(open(step(at, 'buy/aa'), 'Ana')).toBe(false);
  });
  it('is open to whoever is wanted', () => {
    const at = live({ having: [held('den-1', 'Ben'), held('den-2', 'Ben')] });
    expect(['den-1', 'den-2', 'buy/aa'].map((k) => open(step(at, k), 'Ana'))).toEqual([true, false, true]);
    expect(open(step(at, 'den-1'), 'ben')).toBe(false);
    expect(countsOf([jobOf(JOB, at)])).toEqual({ all: 3, done: 0, had: 1, free: 1, wanted: 1 });
    expect(countsWords(countsOf([jobOf(JOB, at)]))).toBe('0 of 3 steps done; one waits for a second pair of hands; one nobody has.');
    expect(countsWords({ all: 9, done: 4, had: 0, free: 3, wanted: 2 })).toBe('4 of 9 steps done; 2 wait for a second pair of hands; 3 nobody has.');
    expect(countsWords({ all: 3, done: 3, had: 0, free: 0, wanted: 0 })).toBe('3 of 3 steps done.');
  });
  it('is proved by what was read, once whoever read it last read it as it must be', () => {
    const check = { key: 'prove/ab', two: 'a tape over 5 m', ends: ['den-1', 'den-2'], names: ['1', '2'], m: 6, text: '6.00 m', within_m: 0.02, within: '2 cm', tape_m: 0.01, causes: [] };
    const job = { ...JOB, checks: [check] } as unknown as PackJob;
    const proof = (at: Live): SatStep => jobOf(job, at).parts.find((p) => p.id === 'prove')!.steps[0]!;
    const read = (m: number, by: string): Live['ticks'][number] => ({ job: 'den', key: 'prove/ab', text: '', by, phone: by, m });
    expect(proof(live({})).words).toBe('1 to 2 must read 6.00 m');
    expect(open(proof(live({})), 'Ana')).toBe(true);
    expect(sayingOf(proof(live({ ticks: [read(6.3, 'Ben'), read(6.01, 'Ben')] })), 'Ana')).toEqual({ words: 'done, Ben', tone: 'done' });
    const off = proof(live({ ticks: [read(6, 'Ana'), read(6.3, 'Ben')], having: [held('prove/ab', 'Ana', 2)] }));
    expect(off.done).toBe(false);
    expect(sayingOf(off, 'Ana').words).toBe('Ben read it otherwise: tape it once more. You have this; one more wanted: a tape over 5 m');
  });
  it('is of the jobs of now, or of those of later where none is left', () => {
    const pack = { jobs: [JOB, { ...JOB, id: 'later', now: false }] } as unknown as Pack;
    expect(saturdayOf(pack, NOBODY).map((j) => j.id)).toEqual(['den']);
    expect(saturdayOf(pack, NOBODY, (j) => j === 'den').map((j) => j.id)).toEqual(['later']);
  });
});
