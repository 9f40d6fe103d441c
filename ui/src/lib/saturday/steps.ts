/** One Saturday for several people: each step of the jobs, who has it, whether it is done, whether it needs two. */
import type { Check, Pack, PackJob } from '../../outdoors/types';

/** What somebody has; `people` is how many the step needs. */
export interface Held { job: string; key: string; by: string; phone: string; made: string; people: number }
/** What is ticked, or a length that was read: `m` is what it read [m]. */
export interface Ticked { job: string; key: string; text: string; by: string; phone: string; m?: number }
/** What all of them know, as the program told it last; `nth` counts the words about steps that came before. */
/** `today` is the day at the garden by the board's clock, `money` whether this phone is shown prices. */
export interface Live { revision: number; today?: string; money?: boolean; people: string[]; alike?: string[]; having: Held[]; ticks: Ticked[]; nth?: number }
export interface SatStep { job: string; list: string; key: string; words: string; n?: number; two: string; has: string[]; done: boolean; by: string[]; off?: string[]; proof?: Check }
export interface SatPart { id: string; words: string; steps: SatStep[] }
export interface SatJob { id: string; name: string; two: string[]; parts: SatPart[] }

export const NOBODY: Live = { revision: -1, people: [], having: [], ticks: [] };
export const same = (one: string, other: string): boolean => plain(one) === plain(other);
/** As the program compares names: whatever the phone's own language and keyboard make of a letter. */
const plain = (name: string): string => name.normalize('NFKC').toLowerCase();
/** How many a step needs. */
export const needs = (step: { two: string }): number => (step.two ? 2 : 1);

/** What ticked one step: a point by its id, a line of a list also by its words, as older programs did. */
export function ticksOf(live: Live, job: string, key: string, words: string): Ticked[] {
  return live.ticks.filter((t) => t.job === job && (t.key === key || (t.key.includes('/') && key.includes('/') && t.text === words)));
}

export function jobOf(job: PackJob, live: Live): SatJob {
  const step = (list: string, key: string, words: string, two: string, n?: number): SatStep => {
    const done = ticksOf(live, job.id, key, words);
    const has = live.having.filter((h) => h.job === job.id && h.key === key).map((h) => h.by);
    return { job: job.id, list, key, words, two, has, done: done.length > 0, by: [...new Set(done.map((t) => t.by).filter(Boolean))], ...(n === undefined ? {} : { n }) };
  };
  const points = job.points.map((p) => step('points', p.id, p.words, p.two ?? '', p.n));
  // A length that proves it is done once the last that each phone read of it is as it must be.
  const proofs = job.checks.filter((c) => c.key).map((c): SatStep => {
    const one = step('prove', c.key!, `${c.names[0]} to ${c.names[1]} must read ${c.text}`, c.two ?? '');
    const last = [...new Map(ticksOf(live, job.id, c.key!, '').map((t) => [t.phone, t])).values()];
    const off = last.filter((t) => t.m !== undefined && Math.abs(t.m - c.m) > c.within_m + 1e-9).map((t) => t.by);
    return { ...one, proof: c, done: last.length > 0 && !off.length, by: one.done && !off.length ? one.by : [], ...(off.length ? { off } : {}) };
  });
  // What is bought stands once more as counted on the plan: that is no second step.
  const bought = job.lists.some((l) => l.id === 'buy');
  const lists = job.lists.filter((l) => !(bought && l.id === 'parts')).map((l) => ({ id: l.id, words: l.words, steps: l.items.map((i) => step(l.id, i.id, i.words, i.two ?? '')) }));
  return { id: job.id, name: job.name, two: job.two ?? [], parts: [...(points.length ? [{ id: 'points', words: 'Where it goes', steps: points }] : []), ...(proofs.length ? [{ id: 'prove', words: 'Prove it', steps: proofs }] : []), ...lists] };
}

/** The jobs of now that are not done, or where none is left those of later. */
export function ofNow(pack: Pack, done: (job: string) => boolean = () => false): PackJob[] {
  const left = pack.jobs.filter((j) => !done(j.id));
  return left.some((j) => j.now) ? left.filter((j) => j.now) : left;
}
export function saturdayOf(pack: Pack, live: Live, done?: (job: string) => boolean): SatJob[] {
  return ofNow(pack, done).map((j) => jobOf(j, live));
}
/** Where a phone shows all there is to know of one step: a point among its points, any other on a page of its own. */
export const linkOf = (s: SatStep): string => (s.n === undefined ? `#/line/${encodeURIComponent(s.job)}/${encodeURIComponent(s.key)}` : `#/step/${encodeURIComponent(s.job)}/${s.n}`);
export const stepsOf = (jobs: readonly SatJob[]): SatStep[] => jobs.flatMap((j) => j.parts.flatMap((p) => p.steps));
/** Whether somebody has a step. */
export const hasIt = (step: SatStep, who: string): boolean => step.has.some((h) => same(h, who));

export interface Saying { words: string; tone: 'free' | 'mine' | 'other' | 'wanted' | 'both' | 'done' }
/** What is said of a step: who has it, who is wanted still, whether two do what one can. */
export function sayingOf(step: SatStep, me: string): Saying {
  const said = standing(step, me);
  if (!step.off) return said;
  const read = step.off.filter(Boolean).length ? `${capital(named(step.off, me))} read it otherwise` : 'It was read otherwise';
  return { words: [`${read}: tape it once more`, said.words && capital(said.words)].filter(Boolean).join('. '), tone: said.tone === 'free' ? 'wanted' : said.tone };
}
export const capital = (words: string): string => `${words[0]!.toLocaleUpperCase()}${words.slice(1)}`;
function standing(step: SatStep, me: string): Saying {
  if (step.done) return { words: step.by.length ? `done, ${named(step.by, me)}` : 'done', tone: 'done' };
  const mine = hasIt(step, me);
  const [need, have] = [needs(step), step.has.length];
  if (!have) return { words: need > 1 ? `needs two: ${step.two}` : '', tone: 'free' };
  const who = named(step.has, me);
  const verb = have > 1 || mine ? 'have' : 'has';
  const head = `${capital(who)} ${verb} this`;
  if (have > need) return { words: need > 1 ? `${head}, and two are enough: agree who does it` : `${head}: agree who does it`, tone: 'both' };
  if (have < need) return { words: `${head}; one more wanted: ${step.two}`, tone: 'wanted' };
  return { words: head, tone: mine ? 'mine' : 'other' };
}
/** Names as a sentence has them, oneself first as “you”. */
export function named(names: readonly string[], me: string): string {
  const others = names.filter((n) => !same(n, me)).map((n) => n || 'somebody');
  const all = others.length < names.length ? ['you', ...others] : others;
  return all.length > 1 ? `${all.slice(0, -1).join(', ')} and ${all.at(-1)!}` : (all[0] ?? '');
}
/** Whether somebody could take the step: it isn't done, they haven't got it, and it isn't had by as many as it needs. */
export function open(step: SatStep, me: string): boolean {
  return !step.done && step.has.length < needs(step) && !hasIt(step, me);
}
export interface Counts { all: number; done: number; had: number; free: number; wanted: number }
/** How a Saturday stands: what is done, had, free, and short of a second pair of hands. */
export function countsOf(jobs: readonly SatJob[]): Counts {
  const steps = stepsOf(jobs);
  const left = steps.filter((s) => !s.done);
  return {
    all: steps.length, done: steps.length - left.length, had: left.filter((s) => s.has.length >= needs(s)).length,
    free: left.filter((s) => !s.has.length).length, wanted: left.filter((s) => s.has.length && s.has.length < needs(s)).length,
  };
}
/** What is open still, in parts of a sentence: what waits for a second pair of hands, what nobody has. */
export function openWords(counts: Counts): string[] {
  const number = (n: number): string => (n === 1 ? 'one' : String(n));
  return [
    ...(counts.wanted ? [`${number(counts.wanted)} ${counts.wanted === 1 ? 'waits' : 'wait'} for a second pair of hands`] : []),
    ...(counts.free ? [`${number(counts.free)} nobody has`] : []),
  ];
}
export const countsWords = (counts: Counts): string => `${[`${counts.done} of ${counts.all} steps done`, ...openWords(counts)].join('; ')}.`;
