import { describe, expect, it } from 'vitest';
import { NOBODY } from '../lib/saturday/steps';
import { Carry, type Link } from './carry.svelte';
import type { Keep } from './keep';
import { FORMAT, type Back, type BackReply, type KeptNote, type Pack } from './types';

const PACK = { format: FORMAT, mark: 'm', garden: 'Rill', revision: 1, stakes: [], jobs: [], first: null, writing: { units: 'metric', decimal_mark: '.' } } as unknown as Pack;

/** A phone whose notes are kept in memory, and a program that takes in what has two stakes and a length. */
function phone(before: (back: Back) => Promise<void> = () => Promise.resolve()): { carry: Carry; kept: Map<string, KeptNote>; given: string[][] } {
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
    pack: () => Promise.resolve(PACK),
    together: () => Promise.resolve(NOBODY),
    views: () => Promise.reject(new Error('not asked for')),
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
