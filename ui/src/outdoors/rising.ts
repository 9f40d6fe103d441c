/** Rounds of differences in level by hose, by string or by board: leg by leg from stake to stake, and back to the first. */
import type { Writing } from '../lib/api/types';
import { readLength, writeLength } from '../lib/words/length';
import { fallWords, of, same, swaps, type Told } from './levelling';
import { small } from './meaning';
import { namesOf, twoNames } from './names';
import type { KeptNote, PackStake } from './types';

/** How the program calls what a rise was taken with. */
export type Tool = 'water level' | 'line level' | 'A-frame';
/** What one leg may be off: no less than `least_m`, and so much for each metre [m]. */
export type Worth = Partial<Record<Tool, { least_m: number; per_m: number }>>;
export interface Leg { id: string; a: string; b: string; m: number; read: string }
/** How far the level line lies above the ground at either end of one set-up, as typed. */
export interface Pair { near: string; far: string }

/** Nineteen times in twenty it is no more than so many standard deviations, as in `survey/accuracy.py`. */
const SURE = 2;
const HALF_MM = 0.0005;
const FOOT = 0.3048;
/** A note in a reading has room for 200 letters. */
const MOST_NOTE = 190;
const LINE = /^(rises|falls)\s+(.+?)\s+by\s+(water level|line level|A-frame)\s+#\s*round (\S+?)(?:: (.*))?$/i;

/** The legs of a round among what was entered here, in the order they were read. */
export function legsOf(notes: readonly KeptNote[], round: string, stakes: readonly PackStake[], writing: Writing): Leg[] {
  const known = namesOf(stakes);
  return notes.flatMap((n): Leg[] => {
    const two = round && n.note.what === 'reading' && !n.unread ? twoNames(n.note.text ?? '', known) : null;
    const found = two && LINE.exec(two[2]);
    if (!two || !found || found[4] !== round) return [];
    const read = readLength(found[2]!, writing);
    return read.ok ? [{ id: n.note.id, a: two[0], b: two[1], m: found[1]!.toLowerCase() === 'falls' ? -read.metres : read.metres, read: found[5] ?? '' }] : [];
  });
}
/** By how much the ground rises over some set-ups [m]; null where one of them can't be read. */
export function riseOf(pairs: readonly Pair[], writing: Writing): number | null {
  let rise = 0;
  for (const pair of pairs) {
    const [near, far] = [readLength(pair.near, writing), readLength(pair.far, writing)];
    if (!near.ok || !far.ok) return null;
    rise += near.metres - far.metres;
  }
  return rise;
}
/** The line of a leg, with what was read in its note. */
export function lineOf(a: string, b: string, tool: Tool, pairs: readonly Pair[], round: string, writing: Writing): string {
  const rise = riseOf(pairs, writing) ?? 0;
  const read = pairs.map((p) => `${p.near} and ${p.far}`.replace(/\u00a0/g, ' ')).join('; ');
  const note = `round ${round}: ${read}`;
  const size = writeLength(Math.abs(rise), writing, true).replace(/[\u00a0\u202f]/g, ' ');
  return `${a} ${b} ${rise < 0 ? 'falls' : 'rises'} ${size} by ${tool}  # ${note.length > MOST_NOTE ? `round ${round}: ${pairs.length} set-ups` : note}`;
}

/** The legs from the start on, each joined to the one before; what hangs apart after one was taken back. */
export function chain(legs: readonly Leg[], start: string): { way: Leg[]; rest: Leg[] } {
  const rest = [...legs];
  const way: Leg[] = [];
  let here = start;
  for (;;) {
    const at = rest.findIndex((l) => same(l.a, here));
    if (at < 0) return { way, rest };
    const [leg] = rest.splice(at, 1);
    way.push(leg!);
    here = leg!.b;
  }
}
export type Next = { what: 'to'; from: string; to?: string } | { what: 'ended' };
/** What is read next: on from the last stake, the leg that was taken back, or nothing: the round has ended on a known height. */
export function nextOf(legs: readonly Leg[], start: string, stakes: readonly PackStake[]): Next {
  const { way, rest } = chain(legs, start);
  const here = way.at(-1)?.b ?? start;
  if (rest.length) return { what: 'to', from: here, to: rest[0]!.a };
  return way.length && ends(here, start, stakes) ? { what: 'ended' } : { what: 'to', from: here };
}
export function ends(stake: string, start: string, stakes: readonly PackStake[]): boolean {
  return same(stake, start) || [start, stake].every((name) => typeof of(name, stakes)?.level === 'number');
}
/** The stakes to go to, the nearest first; the start last, which proves the round. */
export function order(legs: readonly Leg[], start: string, here: string, stakes: readonly PackStake[]): string[] {
  const been = (name: string): boolean => same(name, start) || same(name, here) || legs.some((l) => same(l.a, name) || same(l.b, name));
  const at = of(here, stakes)?.at;
  const far = (name: string): number => {
    const to = of(name, stakes)?.at;
    return at && to ? Math.hypot(to[0] - at[0], to[1] - at[1]) : 0;
  };
  const left = namesOf(stakes).filter((n) => !been(n)).sort((a, b) => far(a) - far(b) || a.localeCompare(b));
  const back = same(here, start) ? [] : [start];
  return [...left, ...back, ...namesOf(stakes).filter((n) => !left.includes(n) && !same(n, start) && !same(n, here))];
}
/** Where an older program's pack doesn't say: as by A-frame, the least sure of the three (`survey/accuracy.py`). */
const LEAST_SURE = { least_m: 0.005, per_m: 0.004 };
/** What a way may be off [m]: of each leg by its length between the stakes, nineteen times in twenty. */
export function may(way: readonly Leg[], tool: Tool, worth: Worth, stakes: readonly PackStake[]): number {
  const one = worth[tool] ?? LEAST_SURE;
  const sd = way.map((l) => {
    const [a, b] = [of(l.a, stakes)?.at, of(l.b, stakes)?.at];
    return Math.max(one.least_m, one.per_m * (a && b ? Math.hypot(a[0] - b[0], a[1] - b[1]) : 0));
  });
  return SURE * Math.hypot(...sd);
}

/** What the last leg means: how its end lies to its beginning, how the ground falls, and whether that agrees with earlier readings. */
export function means(leg: Leg, tool: Tool, worth: Worth, stakes: readonly PackStake[], writing: Writing): Told {
  const say = (m: number): string => writeLength(m, writing, true);
  const lies = Math.abs(leg.m) < HALF_MM ? `${leg.b} lies as high as ${leg.a}.` : `${leg.b} lies ${say(Math.abs(leg.m))} ${leg.m > 0 ? 'above' : 'below'} ${leg.a}.`;
  const [a, b] = [of(leg.a, stakes), of(leg.b, stakes)];
  const before = typeof a?.height === 'number' && typeof b?.height === 'number' ? leg.m - (b.height - a.height) : 0;
  const could = Math.SQRT2 * may([leg], tool, worth, stakes);
  const other = Math.abs(before) > could ? `That is ${small(before, writing)} ${before > 0 ? 'higher' : 'lower'} than was read before, where ${small(could, writing)} could be: read it once more.` : '';
  return { good: !other, words: [lies, fallWords(a, b, -leg.m), other].filter(Boolean).join(' ') };
}
/** How a round that has ended closes; if not well enough, which leg a usual slip points at. */
export function closes(legs: readonly Leg[], start: string, tool: Tool, worth: Worth, stakes: readonly PackStake[], writing: Writing): (Told & { leg: Leg | null }) | null {
  if (nextOf(legs, start, stakes).what !== 'ended') return null;
  const { way } = chain(legs, start);
  const last = way.at(-1)!.b;
  const sum = way.reduce((all, l) => all + l.m, 0);
  const off = sum - (same(last, start) ? 0 : of(last, stakes)!.level! - of(start, stakes)!.level!);
  const could = may(way, tool, worth, stakes);
  const by = Math.abs(off) < HALF_MM ? 'exactly' : `${small(off, writing)} ${off > 0 ? 'high' : 'low'}`;
  if (Math.abs(off) <= could) return { good: true, leg: null, words: `The round closes ${by}; ${small(could, writing)} could be with care, nineteen times in twenty. The heights stand.` };
  const fits = way.map((l) => ({ l, left: leftBy(l, off, writing) })).filter((f) => f.left <= could).sort((a, b) => a.left - b.left);
  const best = fits.filter((f) => f.left <= fits[0]!.left + could / 2);
  const found = best.length <= 2 ? (best[0]?.l ?? null) : null;
  const then = found ? ` Perhaps ${best.map((f) => `from ${f.l.a} to ${f.l.b}`).join(', or ')}: digits swapped, or ${writing.units === 'feet' ? 'a foot or an inch' : 'a metre or ten centimetres'} miscounted.` : '';
  return { good: false, leg: found, words: `The round closes ${by}, where ${small(could, writing)} could be: a leg was misread.${then} Take ${found ? (best.length > 1 ? 'one of them' : 'that leg') : 'the one you are least sure of'} back and read it again. Until it closes its heights are doubtful.` };
}
/** By how much the round would still miss, had a leg the usual slip of eye or pen that explains it best [m]. */
function leftBy(leg: Leg, off: number, writing: Writing): number {
  const metres = (text: string): number => {
    const found = readLength(text, writing);
    return found.ok ? found.metres : NaN;
  };
  const texts = leg.read.split('; ').flatMap((pair) => pair.split(' and '));
  const swapped = texts.flatMap((text, i) => swaps(text).map((meant) => Math.abs(off - (i % 2 ? -1 : 1) * (metres(text) - metres(meant)))));
  // What is miscounted can't be more than was read.
  const most = Math.max(0, ...texts.map(metres).filter((m) => !Number.isNaN(m)));
  const counted = (writing.units === 'feet' ? [FOOT, FOOT / 12] : [1, 0.1]).filter((size) => size <= most).map((size) => Math.abs(Math.abs(off) - size));
  return Math.min(Infinity, ...[...swapped, ...counted].filter((m) => !Number.isNaN(m)));
}
