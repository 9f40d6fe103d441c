import { describe, expect, it } from 'vitest';
import type { Writing } from '../lib/api/types';
import { partsOf, Reading, sayingOf, stepsOf } from './aloud';
import type { Danger, First, Pack, PackJob, SetPoint, TieProof } from './types';
import { standing, voiceFor, type SpokenVoice } from './voice';

const METRIC: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
const tie = (from: string, text: string, about = ''): TieProof => ({ from, name: from.toUpperCase(), about, m: 3.4, text, at: [0, 0], within_m: 0.02, within: '2 cm', tape_m: 0.01, causes: [] });
const point = (n: number, second: TieProof): SetPoint => ({ id: `p${n}`, n, words: `corner ${n}`, at: [1, n], ties: [tie('a', '3.400\u00a0m', 'SW corner of the house'), second], hand: 'on the left as you look from A to B', check: tie('c', '4.105 m'), sure: '± 3 cm', how: [] });
const JOB: PackJob = {
  id: 'hedge', name: 'Plant the hedge', month: 'March 2027', makes: ['Yew hedge'], hours: '6 h', first: '', through: false, now: true, points: [point(1, tie('b', '12.04 m')), point(2, tie('p1', '2.00 m'))],
  checks: [{ ...tie('p1', '2.00 m'), ends: ['p1', 'p2'], names: ['1', '2'] }], missing: [], shaping: ['Plants 40 cm apart.'],
  lists: [{ id: 'buy', words: 'To buy', items: [{ id: 'buy/1', words: '6 yews' }] }, { id: 'do', words: 'To do', items: [{ id: 'do/1', words: 'Dig 30 cm deep' }] }],
  cautions: ['Yew is poisonous.', 'Have buried lines located.', 'It flowers early.'], hurts: 2, figures: [], bounds: null, ticked: [], measured: [],
};
const OTHER: PackJob = { ...JOB, id: 'path', name: 'Lay the path', cautions: [], hurts: 0, points: [], checks: [], shaping: [], lists: [] };
const PACK = { writing: METRIC, covers: 'It doesn’t say whether ground carries.', stakes: [{ id: 'a' }, { id: 'b' }, { id: 'c' }] } as unknown as Pack;
const STEPS = stepsOf(PACK, [JOB, OTHER], null);
const heads = (r: Reading): string => `${r.step?.head}`;

describe('a Saturday in steps', () => {
  it('says what to take care of before any other step, all of it, and what is bought last', () => {
    expect(STEPS.map((s) => s.part)).toEqual(['Plant the hedge', 'Take care', 'Take care', 'Take care', ...Array<string>(3).fill('Where it goes'), 'Prove it', 'To do', 'To buy', 'The end', 'Lay the path', 'The end']);
    expect(partsOf(STEPS).map((p) => p.at)).toEqual([0, 1, 4, 7, 8, 9, 10, 11, 12]);
    expect(STEPS[3]!.head).toBe('Take care of what grows and stands');
  });
  it('says a point as one would call it out', () => {
    expect(sayingOf(STEPS[5]!, METRIC)).toBe(
      'Point 2 of 2: corner 2. three metres forty from stake A, south-west corner of the house. two metres from point P1, which you set. Where both tapes meet, level and taut, on the left as you look from A to B. Then stake C to 2 must read four metres ten, and five millimetres, give or take two centimetres. It comes to give or take three centimetres.',
    );
    expect(sayingOf(STEPS[7]!, METRIC)).toContain('1 to 2 must read two metres, give or take two centimetres. Dig only when it reads so.');
  });
  it('says once more, and once, what is dangerous at a step itself', () => {
    const list = (id: string, care: Danger[], ...words: string[]): PackJob['lists'][number] => ({ id, words: id, items: words.map((w, i) => ({ id: `${id}/${i}`, words: w, care })) });
    const job: PackJob = { ...JOB, lists: [list('saw', ['saw'], 'Brett 1', 'Brett 2'), list('plant', ['dig'], '6 Eiben'), list('do', ['dig', 'high', 'glass', 'saw'], 'Sparren aufrichten', 'Fegen'), list('buy', [], '6 panes of glass')], care_at: { dig: 'Lines first.', high: 'A sound ladder.', saw: 'Hold it fast.' } };
    const said = stepsOf(PACK, [job], null).slice(8).map((s) => (s.care ? `! ${s.body[0]}` : s.body[0]));
    expect(said).toEqual(['! Hold it fast.', 'Brett 1', 'Brett 2', '! Lines first.', '6 Eiben', '! A sound ladder.', 'Sparren aufrichten', 'Fegen', '6 panes of glass', PACK.covers]);
  });
  it('knows which steps have a length to be read off', () => {
    const of = (part: string): (string | undefined)[] => STEPS.filter((s) => s.part === part).map((s) => s.reads?.between);
    expect(of('Where it goes')).toEqual(['C to 1', 'C to 2', undefined]);
    expect(of('Prove it')).toEqual(['1 to 2']);
    expect(of('To do')).toEqual([undefined]);
  });
  it('begins with the ground where it was never measured', () => {
    const first: First = { how: ['Hold it level.'], care: 'Mind the road.', covers: '', corners: { A: 'SW corner' }, tapes: [{ start: 'A', end: 'B', m: 20, text: '20.00 m', within_m: 0.02, within: '± 2 cm', what: 'the south side' }] };
    const said = stepsOf(PACK, [JOB], first).slice(0, 5).map((s) => sayingOf(s, METRIC));
    expect(said[0]).toBe('Does the ground agree with the plan? A tape along each side, before anything is bought or dug.');
    const told = stepsOf(PACK, [], { ...first, to_tape: 'a tape along each side and across', shows: 'The lines across show a misread side.' })[0]!;
    expect(told.body).toEqual(['A tape along each side and across, before anything is bought or dug.', 'The lines across show a misread side.']);
    expect(said[1]).toBe('Take care. Mind the road.');
    expect(said[4]).toBe('A to B. It should read twenty metres, give or take two centimetres: the south side.');
  });
});

describe('where somebody stands in it', () => {
  it('goes through all of it and stays at the end', () => {
    const r = new Reading(STEPS);
    for (let n = 1; n < STEPS.length; n++) {
      expect(r.last).toBe(false);
      r.next();
      expect(r.at).toBe(n);
    }
    expect(r.last).toBe(true);
    r.next();
    expect(r.at).toBe(STEPS.length - 1);
  });
  it('goes to what asks for care first, then where it was asked to go, and not twice', () => {
    const r = new Reading(STEPS);
    r.go(5);
    expect([r.at, r.last]).toEqual([1, false]);
    r.next();
    r.next();
    r.next();
    expect(heads(r)).toBe('Point 2 of 2: corner 2');
    r.go(0);
    r.go(4);
    expect(r.at).toBe(4);
    r.back();
    expect(r.step?.care).toBe(true);
  });
  it('lets nobody pass by them by beginning at a caution further on', () => {
    const job: PackJob = { ...JOB, lists: [{ id: 'saw', words: 'To saw', items: [{ id: 'saw/1', words: 'Board 1', care: ['saw'] }] }], care_at: { saw: 'Hold it fast.' } };
    const r = new Reading(stepsOf(PACK, [job], null));
    const to = partsOf(r.steps).find((p) => p.words === 'To saw')!.at;
    expect(r.steps[to]).toMatchObject({ care: true, body: ['Hold it fast.'] });
    r.go(to);
    expect(heads(r)).toBe('Take care, 1 of 2');
    while (r.step?.part === 'Take care') r.next();
    expect([r.at, r.step?.care]).toEqual([to, true]);
    r.next();
    expect(r.step?.body).toEqual(['Board 1']);
  });
  it('lets nobody pass by the cautions by going back from another job', () => {
    const r = new Reading(STEPS);
    r.go(11);
    expect(r.at).toBe(11);
    r.back();
    expect(heads(r)).toBe('Take care, 1 of 2');
    for (let n = 0; n < 3; n++) r.next();
    expect(r.at).toBe(10);
  });
});

describe('the voice', () => {
  const voice = (name: string, lang: string, localService = true, isDefault = false): SpokenVoice => ({ name, lang, localService, default: isDefault });
  it('is one of the device’s own, of the page’s language, nearest to the person’s', () => {
    const all = [voice('far', 'en-US', false, true), voice('de', 'de-DE', true, true), voice('gb', 'en_GB'), voice('us', 'en-US')];
    expect(voiceFor(all, 'en', 'en-US')?.name).toBe('us');
    expect(voiceFor(all, 'en', 'en-gb')?.name).toBe('gb');
    expect(voiceFor(all, 'en', 'de-DE')?.name).toBe('gb');
    expect(voiceFor(all.slice(0, 2), 'en', 'en-US')).toBeUndefined();
  });
  it('says why there is none', () => {
    expect(standing([], 'en')).toBe('none');
    expect(standing([voice('far', 'en-US', false)], 'en')).toBe('none');
    expect(standing([voice('de', 'de-DE')], 'en')).toBe('foreign');
    expect(standing([voice('gb', 'en-GB')], 'en')).toBe('ready');
  });
});
