import { describe, expect, it, vi } from 'vitest';
import { jobOf, NOBODY, type Live, type SatStep } from '../lib/saturday/steps';
import { Carry, type Link } from './carry.svelte';
import type { Keep } from './keep';
import { FORMAT, type Back, type BackReply, type KeptNote, type Pack, type PackJob } from './types';

const PACK = { format: FORMAT, mark: 'm', garden: 'Rill', revision: 1, stakes: [], jobs: [], first: null, writing: { units: 'metric', decimal_mark: '.' } } as unknown as Pack;

/** A phone whose notes are kept in memory, and a program that takes in what has two stakes and a length. */
function phone(before: (back: Back) => Promise<void> = () => Promise.resolve(), together: () => Promise<Live> = () => Promise.resolve(NOBODY), pack: Pack = PACK): { carry: Carry; kept: Map<string, KeptNote>; given: string[][] } {
  const kept = new Map<string, KeptNote>();
  const given: string[][] = [];
  const keep: Keep = {
    lasting: true,
    packs: () => Promise.resolve([]),
    putPack: () => Promise.resolve(),
    notes: () => Promise.resolve([...kept.values()]),
    put: (notes) => Promise.resolve(notes.forEach((n) => kept.set(n.note.id, n))),
    drop: (ids) => Promise.resolve(ids.forEach((id) => kept.delete(id))),
  };
  const link: Link = {
    home: true,
    pack: () => Promise.resolve(pack),
    together,
    views: () => Promise.reject(new Error('not asked for')),
    day: () => Promise.reject(new Error('not asked for')),
    enter: () => Promise.resolve(),
    give: async (back): Promise<BackReply> => {
      given.push(back.notes.map((n) => n.text ?? ''));
      await before(back);
      const good = (text: string): boolean => /^\w+ \w+ [\d.]+$/.test(text);
      return {
        revision: 1,
        taken: back.notes.filter((n) => good(n.text ?? '')).map((n) => n.id),
        problems: back.notes.filter((n) => !good(n.text ?? '')).map((n) => ({ id: n.id, because: 'There is no reading in it.' })),
      };
    },
  };
  return { carry: new Carry(keep, link, { get: () => Promise.resolve(null), put: () => Promise.resolve() }), kept, given };
}
async function read(carry: Carry, text: string): Promise<KeptNote> {
  await carry.add({ what: 'reading', text }, text);
  return carry.notes.find((n) => n.note.text === text)!;
}

describe('a reading taken back', () => {
  it('is forgotten where the program could not take it in, and nothing stays to be handed in for ever', async () => {
    const { carry, kept } = phone();
    await carry.look();
    await read(carry, 'by the old gate');
    await carry.look();
    const refused = carry.waiting[0]!;
    expect([refused.because, refused.sent]).toEqual(['There is no reading in it.', true]);
    await carry.unread(refused);
    expect([carry.notes.length, kept.size]).toEqual([0, 0]);
  });
  it('is told to the program where it may have it already', async () => {
    const { carry } = phone();
    await carry.look();
    await read(carry, 'A B 12.34');
    await carry.look();
    await carry.unread(carry.notes[0]!);
    expect(carry.notes.map((n) => `${n.note.what} ${n.unread ?? false}`).sort()).toEqual(['reading true', 'unread false']);
  });
  it('is not handed in nor kept any more where those before it were still on their way', async () => {
    let gone = '';
    const { carry, kept, given } = phone(async () => {
      const last = carry.waiting.at(-1)!;
      gone = last.note.id;
      await carry.unread(last);
    });
    await carry.look();
    for (let i = 0; i < 101; i += 1) await read(carry, `A B ${i}.5`);
    await carry.look();
    expect(given.map((part) => part.length)).toEqual([100]);
    expect([carry.notes.length, kept.size, kept.has(gone)]).toEqual([100, 100, false]);
  });
});

describe('one tap too many', () => {
  it('enters nothing twice, and what is meant as another is another', async () => {
    const { carry } = phone();
    await carry.look();
    await Promise.all([1, 2, 3].map(() => carry.add({ what: 'spent', about: 'den', sum: 4250, text: '' }, 'spent')));
    await carry.add({ what: 'spent', about: 'den', sum: 4350, text: '' }, 'spent');
    expect(carry.notes.map((n) => n.note.sum).sort()).toEqual([4250, 4350]);
  });
});

describe('whoever named the phone before it met this garden', () => {
  it('is said to be there, once', async () => {
    const { carry } = phone();
    carry.call('Ana');
    await carry.look();
    await carry.lookWho();
    expect(carry.notes.map((n) => [n.note.what, n.note.by])).toEqual([['here', 'Ana']]);
    carry.call('');
  });
});

describe('who has what', () => {
  const step: SatStep = { job: 'den', list: 'buy', key: 'buy/aa', words: 'ten bolts 4', two: '', has: [], done: false, by: [] };
  it('is not forgotten over an answer that was under way before the step was taken on', async () => {
    let late: (live: Live) => void = () => undefined;
    let slow = false;
    const { carry } = phone(undefined, () => (slow ? new Promise((done) => (late = done)) : Promise.resolve(NOBODY)));
    await carry.look();
    carry.name = 'Ana';
    await carry.add({ what: 'here' }, 'here');
    await carry.has(step, true);
    slow = true;
    const asked = carry.lookWho();
    await new Promise((done) => setTimeout(done, 5));
    await carry.look();
    expect(carry.notes.find((n) => n.note.what === 'has')!.state).toBe('taken');
    late(NOBODY);
    await asked;
    expect(carry.shared.having.map((h) => h.by)).toEqual(['Ana']);
  });
  it('keeps the last word where the clock is set back by an hour in between', async () => {
    const job = { id: 'den', ticked: [], lists: [], points: [], checks: [], measured: [] } as unknown as PackJob;
    const { carry } = phone(undefined, undefined, { ...PACK, jobs: [job] } as unknown as Pack);
    vi.useFakeTimers({ now: Date.parse('2027-04-03T11:00:00Z'), toFake: ['Date'] });
    try {
      await carry.look();
      await carry.tick(job, 'buy/aa', 'ten bolts', true);
      vi.setSystemTime(Date.parse('2027-04-03T10:02:00Z'));
      await carry.tick(job, 'buy/aa', 'ten bolts', false);
      expect(carry.notes.map((n) => n.note.on)).toEqual([true, false]);
      expect(carry.ticked(job, 'buy/aa')).toBe(false);
    } finally {
      vi.useRealTimers();
    }
  });
  it('shows what the plan that was carried has ticked, where nobody tells more', async () => {
    const job = { id: 'den', ticked: ['buy/aa'], lists: [], points: [], checks: [], measured: [] };
    const { carry } = phone(undefined, () => Promise.reject(new Error('away')), { ...PACK, jobs: [job] } as unknown as Pack);
    await carry.look();
    expect(carry.shared.ticks.map((t) => t.key)).toEqual(['buy/aa']);
  });
});

describe('a length that was read otherwise on another phone', () => {
  const check = { key: 'prove/ab', two: '', ends: ['den-1', 'den-2'], names: ['1', '2'], m: 6, text: '6.00 m', within_m: 0.02, within: '2 cm', tape_m: 0.01, causes: [] };
  const job = { id: 'den', name: 'Den', now: true, points: [], checks: [check], lists: [], ticked: [], measured: [{ points: ['den-1', 'den-2'], m: 6.3, text: '6.30 m', by: 'Ben', phone: 'b' }] } as unknown as PackJob;
  it('is set right here, and counts at once', async () => {
    const ticks = [{ job: 'den', key: 'prove/ab', text: '', by: 'Ben', phone: 'b', m: 6.3 }];
    const { carry } = phone(undefined, () => Promise.resolve({ ...NOBODY, ticks }), { ...PACK, jobs: [job] });
    await carry.look();
    const proof = (): SatStep => jobOf(job, carry.shared).parts.find((p) => p.id === 'prove')!.steps[0]!;
    expect(proof().off).toEqual(['Ben']);
    await carry.measured(job, check.ends, '6.01', '1 to 2');
    expect([proof().done, carry.others(job, check.ends).length]).toEqual([false, 1]);
    await carry.measured(job, check.ends, '6.01', '1 to 2', true);
    expect([proof().done, carry.others(job, check.ends).length]).toEqual([true, 0]);
    expect(carry.waiting.map((n) => n.note.instead)).toEqual([undefined, true]);
  });
});

describe('the board’s clock', () => {
  it('has the plan fetched anew on another day, and says where this phone’s is wrong', async () => {
    let day = '2028-06-30';
    const pack = (): Pack => ({ ...PACK, today: day });
    const asked: string[] = [];
    const keep: Keep = { lasting: true, packs: () => Promise.resolve([]), putPack: (p) => Promise.resolve(void asked.push(p.today ?? '')), notes: () => Promise.resolve([]), put: () => Promise.resolve(), drop: () => Promise.resolve() };
    const link: Link = {
      home: false, pack: () => Promise.resolve(pack()), together: () => Promise.resolve({ ...NOBODY, revision: 1, today: day }), views: () => Promise.reject(new Error('no')), day: () => Promise.reject(new Error('no')), enter: () => Promise.resolve(),
      give: (back) => Promise.resolve({ revision: 1, taken: back.notes.map((n) => n.id), problems: [], clock: back.sent ? 'This phone’s clock is wrong.' : '' }),
    };
    const carry = new Carry(keep, link, { get: () => Promise.resolve(null), put: () => Promise.resolve() });
    await carry.look();
    await carry.look();
    expect([carry.today, asked]).toEqual(['2028-06-30', ['2028-06-30']]);
    day = '2028-07-01';
    await carry.look();
    expect([carry.today, asked]).toEqual(['2028-07-01', ['2028-06-30', '2028-07-01']]);
    await carry.add({ what: 'note', text: 'dew' }, 'dew');
    await carry.look();
    expect(carry.clock).toBe('This phone’s clock is wrong.');
  });
});
