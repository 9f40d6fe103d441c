/** A round with a level and a staff, sight by sight: what is read next, what each sight means, and how the round closes. */
import type { Writing } from '../lib/api/types';
import { readLength, writeLength } from '../lib/words/length';
import { small } from './meaning';
import { namesOf, pattern, written } from './names';
import type { KeptNote, PackStake } from './types';

export type Sight = 'back' | 'between' | 'fore';
export interface Sighted { id: string; sight: Sight; stake: string; m: number; text: string }
/** What is asked next: the first sight of a set-up, any other, or nothing: the round has ended on a height that is known. */
export type Asked = { what: 'begin' } | { what: 'turned'; stake: string } | { what: 'on' } | { what: 'ended' };
export interface Told { good: boolean; words: string }

/**
 * What a round of one set-up may miss its closing height by [m]; of more, times the root of their number: for levelling on
 * construction sites (SKAA 1023 Levelling, part 3, "Precision of levelling"). As in `survey/levels.py`.
 */
const ALLOWED_M = 0.005;
const LEVEL_M = 0.002;
const HALF_MM = 0.0005;
const FOOT = 0.3048;

/** The sights of one book among what was entered here, in the order they were read. */
export function sightsOf(notes: readonly KeptNote[], book: string, writing: Writing, stakes: readonly PackStake[] = []): Sighted[] {
  const line = new RegExp(`^(back|between|fore) (${pattern(namesOf(stakes))}) (.+) in book (\\S+)$`, 'i');
  return notes.flatMap((n): Sighted[] => {
    const found = n.note.what === 'reading' && !n.unread ? line.exec(n.note.text ?? '') : null;
    if (!found || found[4] !== book) return [];
    const read = readLength(found[3]!, writing);
    return read.ok ? [{ id: n.note.id, sight: found[1]!.toLowerCase() as Sight, stake: found[2]!, m: read.metres, text: found[3]! }] : [];
  });
}
export function lineOf(sight: Sight, stake: string, text: string, book: string): string {
  return `${sight} ${stake} ${text} in book ${book}`;
}
export function asked(sights: readonly Sighted[], stakes: readonly PackStake[]): Asked {
  const last = sights.at(-1);
  if (!last) return { what: 'begin' };
  if (last.sight !== 'fore') return { what: 'on' };
  return ends(sights, last.stake, stakes) ? { what: 'ended' } : { what: 'turned', stake: last.stake };
}
/** Whether a round that ends on a stake is proved: it began there, or began and ends on stakes whose heights are known. */
export function ends(sights: readonly Sighted[], stake: string, stakes: readonly PackStake[]): boolean {
  const first = sights[0]?.stake ?? '';
  return same(stake, first) || [first, stake].every((name) => typeof of(name, stakes)?.level === 'number');
}
/** The stakes in the order to go: always the nearest that was not read yet. */
export function order(stakes: readonly PackStake[], start: string, sights: readonly Sighted[]): string[] {
  const left = stakes.filter((s) => !same(written(s), start) && !sights.some((o) => same(o.stake, written(s))));
  const out: string[] = [];
  let here = of(sights.at(-1)?.stake ?? start, stakes)?.at;
  while (left.length) {
    const at = here;
    left.sort((a, b) => (at ? Math.hypot(a.at[0] - at[0], a.at[1] - at[1]) - Math.hypot(b.at[0] - at[0], b.at[1] - at[1]) : 0) || a.name.localeCompare(b.name));
    const next = left.shift()!;
    out.push(written(next));
    here = next.at;
  }
  return out;
}
/** Where a round begins unless somebody says otherwise: on a stake of known height, else on the first. */
export function startOf(stakes: readonly PackStake[]): string {
  const known = stakes.find((s) => typeof s.level === 'number') ?? stakes[0];
  return known ? written(known) : '';
}

/** The height of each sight's stake [m], the first one at its known height, else at zero. */
export function heights(sights: readonly Sighted[], stakes: readonly PackStake[]): number[] {
  const out: number[] = [];
  let back = 0;
  let from = 0;
  sights.forEach((s, i) => {
    if (s.sight === 'back') {
      from = i ? out[i - 1]! : (of(s.stake, stakes)?.level ?? 0);
      back = s.m;
      out.push(from);
    } else out.push(from + back - s.m);
  });
  return out;
}
export const setups = (sights: readonly Sighted[]): number => sights.filter((s) => s.sight === 'fore').length;
export const allowed = (sights: readonly Sighted[]): number => ALLOWED_M * Math.sqrt(Math.max(1, setups(sights)));
/** By how much a round that has ended misses the height it ends on [m]; null where it has not ended on a known one. */
export function closing(sights: readonly Sighted[], stakes: readonly PackStake[]): number | null {
  const last = sights.at(-1);
  if (last?.sight !== 'fore' || !ends(sights, last.stake, stakes)) return null;
  const z = heights(sights, stakes);
  return z.at(-1)! - (same(last.stake, sights[0]!.stake) ? z[0]! : of(last.stake, stakes)!.level!);
}

/** What the last sight means: how high its stake lies, how the ground falls to it, and whether that agrees with what was known. */
export function means(sights: readonly Sighted[], stakes: readonly PackStake[], writing: Writing): Told | null {
  const last = sights.at(-1);
  if (!last) return null;
  const say = (m: number): string => writeLength(m, writing, true);
  if (last.sight === 'back') return { good: true, words: `${last.stake} read ${say(last.m)}, to look back on.` };
  const z = heights(sights, stakes);
  const [here, start] = [z.at(-1)!, z[0]!];
  const lies = same(last.stake, sights[0]!.stake) ? '' : `${last.stake} lies ${Math.abs(here - start) < HALF_MM ? `as high as ${sights[0]!.stake}` : `${say(Math.abs(here - start))} ${here > start ? 'above' : 'below'} ${sights[0]!.stake}`}.`;
  const before = sights.findLastIndex((s, i) => i < sights.length - 1 && !same(s.stake, last.stake));
  const falls = before < 0 ? '' : fallWords(of(sights[before]!.stake, stakes), of(last.stake, stakes), z[before]! - here);
  const known = other(sights, stakes, here - start, writing);
  return { good: !known, words: [lies, falls, known].filter(Boolean).join(' ') || `${last.stake} read ${say(last.m)}.` };
}
export function fallWords(a: PackStake | undefined, b: PackStake | undefined, drop: number): string {
  if (!a || !b) return '';
  const far = Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]);
  if (far < 0.05) return '';
  if (Math.abs(drop) < LEVEL_M) return `${a.name} and ${b.name} are level.`;
  return `From ${a.name} to ${b.name} the ground ${drop > 0 ? 'falls' : 'rises'} 1 in ${Math.max(1, Math.round(far / Math.abs(drop)))}.`;
}
/** What an earlier round said of this stake, where it differs by more than both may be off. */
function other(sights: readonly Sighted[], stakes: readonly PackStake[], rise: number, writing: Writing): string {
  const [a, b] = [of(sights[0]!.stake, stakes)?.height, of(sights.at(-1)!.stake, stakes)?.height];
  if (typeof a !== 'number' || typeof b !== 'number' || same(sights[0]!.stake, sights.at(-1)!.stake)) return '';
  const off = rise - (b - a);
  const may = Math.SQRT2 * allowed(sights);
  if (Math.abs(off) <= may) return '';
  return `That is ${small(off, writing)} ${off > 0 ? 'higher' : 'lower'} than was read before, where ${small(may, writing)} could be. Read it again before the level is moved.`;
}

/** How a round that has ended closes, and if not well enough, what to read again. */
export function closes(sights: readonly Sighted[], stakes: readonly PackStake[], writing: Writing): Told | null {
  const off = closing(sights, stakes);
  if (off === null) return null;
  const count = setups(sights);
  const may = small(allowed(sights), writing);
  const how = count === 1 ? '5 mm for one set-up' : `5 mm times the root of ${count} set-ups`;
  if (Math.abs(off) <= allowed(sights)) {
    const by = Math.abs(off) < HALF_MM ? 'exactly' : `${small(off, writing)} ${off > 0 ? 'high' : 'low'}`;
    return { good: true, words: `The round closes ${by}; ${may} is allowed, ${how}. The heights stand.` };
  }
  const likely = misread(sights, off, writing)[0];
  const why = likely ? ` Perhaps the ${likely.sight.sight} sight on ${likely.sight.stake}: ${likely.words}` : '';
  const leg = legAgain(sights, off, writing);
  return { good: false, words: `The round closes ${small(off, writing)} ${off > 0 ? 'high' : 'low'}, where ${may} is allowed, ${how}: a sight was misread, or the level was knocked.${why} Read ${leg[0]} to ${leg[1]} again. Until it closes its heights are doubtful.` };
}
/** Each set-up of a round: the sight it began with, and the one it ended with. */
function legsOf(sights: readonly Sighted[]): [Sighted, Sighted][] {
  return sights.flatMap((s, i): [Sighted, Sighted][] => {
    const back = sights.findLast((o, k) => k < i && o.sight === 'back');
    return s.sight === 'fore' && back ? [[back, s]] : [];
  });
}
/** The two stakes of the set-up to read again first: the one a usual slip points at, else the last. */
export function legAgain(sights: readonly Sighted[], off: number, writing: Writing): Leg {
  const found = misread(sights, off, writing)[0]?.sight;
  const legs = legsOf(sights);
  const [back, fore] = legs.find((leg) => found && leg.includes(found)) ?? legs.at(-1)!;
  return [back.stake, fore.stake];
}
export type Leg = readonly [string, string];
/**
 * What reading a set-up again says of the round that did not close, and which set-up to read next, if any; null until it has
 * come from the one stake to the other, in as many set-ups as it took.
 */
export function again(round: readonly Sighted[], now: readonly Sighted[], leg: Leg, stakes: readonly PackStake[], writing: Writing): (Told & { next: Leg | null }) | null {
  const legs = legsOf(round);
  const at = legs.findIndex(([a, b]) => same(a.stake, leg[0]) && same(b.stake, leg[1]));
  const fresh = legsOf(now);
  const off = closing(round, stakes);
  if (at < 0 || off === null || !fresh.length || !same(fresh[0]![0].stake, leg[0]) || !same(now.at(-1)!.stake, leg[1])) return null;
  const rise = (some: readonly [Sighted, Sighted][]): number => some.reduce((sum, [back, fore]) => sum + back.m - fore.m, 0);
  const [was, is] = [rise([legs[at]!]), rise(fresh)];
  const rest = off + is - was;
  const say = (by: number): string => `${by < 0 ? 'falls' : 'rises'} ${writeLength(Math.abs(by), writing, true)}`;
  const both = `${leg[0]} to ${leg[1]} ${say(is)} now, and ${say(was)} in the round before`;
  if (Math.abs(is - was) <= ALLOWED_M * Math.sqrt(1 + fresh.length)) {
    const next = legs[(at + legs.length - 1) % legs.length]!;
    return { good: true, words: `${both}: that set-up was read right. Read ${next[0].stake} to ${next[1].stake} again.`, next: [next[0].stake, next[1].stake] };
  }
  const well = Math.abs(rest) <= allowed(round);
  const words = well ? `With this the round closes within ${small(Math.max(Math.abs(rest), HALF_MM), writing)}. Both are kept; the one that fits counts.` : `With this the round would still be ${small(rest, writing)} off: read that set-up a third time.`;
  return { good: well, words: `${both}. ${words}`, next: well ? null : leg };
}
/** The sights that one usual slip of eye or pen would put right, so that the round closes; those between carry no height on. */
export function misread(sights: readonly Sighted[], off: number, writing: Writing): { sight: Sighted; words: string }[] {
  const may = allowed(sights);
  return sights.flatMap((sight) => {
    if (sight.sight === 'between') return [];
    const meant = sight.sight === 'back' ? sight.m - off : sight.m + off;
    const swapped = swaps(sight.text).find((t) => near(t, meant, may, writing));
    if (swapped) return [{ sight, words: `digits swapped? ${sight.text} for ${swapped}.` }];
    const steps: [number, string][] = writing.units === 'feet' ? [[FOOT, 'a foot miscounted?'], [FOOT / 12, 'an inch miscounted?']] : [[1, 'a metre miscounted?'], [0.1, 'ten centimetres miscounted?']];
    const step = steps.find(([size]) => Math.abs(Math.abs(off) - size) <= may);
    return step ? [{ sight, words: step[1] }] : [];
  }).sort((a, b) => Number(b.words.startsWith('digits')) - Number(a.words.startsWith('digits')));
}
export function swaps(text: string): string[] {
  const spots = [...text].flatMap((c, i) => (/\d/.test(c) ? [i] : []));
  return spots.slice(1).flatMap((j, k) => {
    const i = spots[k]!;
    if (text[i] === text[j]) return [];
    const out = [...text];
    [out[i], out[j]] = [out[j]!, out[i]!];
    return [out.join('')];
  });
}
function near(text: string, meant: number, may: number, writing: Writing): boolean {
  const read = readLength(text, writing);
  return read.ok && Math.abs(read.metres - meant) <= may;
}
export const same = (a: string, b: string): boolean => a.replace(/\s+/g, ' ').toLowerCase() === b.replace(/\s+/g, ' ').toLowerCase();
export function of(name: string, stakes: readonly PackStake[]): PackStake | undefined {
  return stakes.find((s) => same(written(s), name));
}
