/** The years month by month, made up: sums by hand, a “best order” that moves one job. */
import type { Doc, GardenDoc, Json } from '../lib/api/types';
import type { Found, PlannedJob, Sums, TryReply, YearsReply } from '../lib/api/years';
import { keepMonth, runsOf, writeMonth } from '../lib/words/months';
import { touched } from './answers';
import { FIRST, YEARS } from './ropewalk';

type Body = Record<string, Json>;
const MONTHS = YEARS.length * 12;
const cost = (job: Doc): number => ((job['costs'] as Doc[]) ?? []).reduce((sum, line) => sum + Number(line['sum']), 0);
const startOf = (job: Doc): number | null => {
  if (!job['start']) return null;
  const [year, month] = String(job['start']).split('-').map(Number);
  return (year! - FIRST) * 12 + month! - 1;
};
const all = Array.from({ length: MONTHS }, (_, i) => i);

function sums(jobs: Doc[]): Sums {
  const income = all.map((m) => (m % 12 === 0 ? 240000 : 0));
  const spent = all.map((m) => jobs.filter((j) => startOf(j) === m).reduce((sum, j) => sum + cost(j), 0));
  let purse = 0;
  const left = all.map((m) => (purse += income[m]! - spent[m]!));
  const at = (j: Doc, m: number): boolean => { const s = startOf(j); return s !== null && m >= s && m < s + Number(j['months']); };
  return {
    money: { in: income, spent, left },
    hours: {
      given: all.map((m) => (m % 12 > 1 && m % 12 < 10 ? 22 : 6)), upkeep: all.map((m) => (m % 12 > 3 && m % 12 < 9 ? 4 : 1)),
      worked: all.map((m) => jobs.filter((j) => at(j, m)).reduce((sum, j) => sum + Number(j['hours']) / Number(j['months']), 0)),
    },
  };
}
const done = (garden: GardenDoc, id: string): boolean => ((garden['journal'] as Doc[] | undefined) ?? []).some((e) => e['what'] === 'done' && e['about'] === id);

function planned(garden: GardenDoc, job: Doc): PlannedJob {
  const start = startOf(job);
  const months = Number(job['months']);
  const ended = done(garden, String(job['id']));
  return {
    id: String(job['id']), name: String(job['name']), large: job['large'] === true, months, start, end: start === null ? null : start + months,
    state: ended ? 'done' : start === null ? 'unplanned' : job['booked'] ? 'booked' : 'planned', fits: ended ? [] : all.filter((m) => m % 12 >= 1 && m % 12 <= 9 && m + months <= MONTHS),
    cost: cost(job), hours: Number(job['hours']), worth: String(job['worth'] ?? 'some'), points: 20, compared: false, of_use_after: String(job['id']) === 'plant-hedge' ? 36 : 0, of_use_words: String(job['id']) === 'plant-hedge' ? 'Of use 3 years after it is planted: it has to grow first.' : '', after: [], season: { months: [2, 3, 4, 5, 6, 7, 8, 9, 10], span: 'February to October', why: '', typed: true }, does: (job['does'] as string[]) ?? [],
  };
}
export function years(garden: GardenDoc, revision: number): YearsReply {
  const jobs = garden.jobs.map((j) => planned(garden, j)).sort((a, b) => (a.start ?? 1e6) - (b.start ?? 1e6));
  return { revision, first_year: FIRST, years: YEARS, ...sums(garden.jobs), reserve: 0, large_a_year: 1, jobs, breaks: breaks(garden.jobs), nonsense: false, too_late: [], owed: [], happened_until: 0, neighbour: ['Whatever else slips, keep the hedge in its first winter: no money buys those years back.'] };
}
function breaks(jobs: Doc[]): string[] {
  const { money } = sums(jobs);
  return runsOf(all.filter((m) => money.left[m]! < 0)).map(([a]) => `The money is short from ${writeMonth(FIRST, a)}.`);
}
const moved = (garden: GardenDoc, id: string, start: number | null): Doc[] => garden.jobs.map((j) => (j['id'] === id ? { ...j, start: start === null ? null : keepMonth(FIRST, start) } : j));

export function tried(garden: GardenDoc, body: Body, revision: number): TryReply {
  const id = String(body['job']);
  const start = body['start'] as number | null;
  const jobs = moved(garden, id, start);
  const was = startOf(garden.jobs.find((j) => j['id'] === id)!) ?? MONTHS;
  const share = (was - (start ?? MONTHS)) / 1000;
  const before = breaks(garden.jobs);
  const now = breaks(jobs);
  const words = Math.abs(share) < 0.0005 ? 'The garden gives as much use as now.' : `The garden gives ${(100 * Math.abs(share)).toFixed(1)} in 100 ${share > 0 ? 'more' : 'less'} use.`;
  return { job: id, start, words, share, breaks: now.filter((w) => !before.includes(w)), mends: before.filter((w) => !now.includes(w)), ...sums(jobs), verdicts: touched(garden.features), left: 0, revision };
}
export const why = (garden: GardenDoc): Record<string, string> => Object.fromEntries(garden.jobs.map((j) => [String(j['id']), `${String(j['name'])} starts then: before that the money would be short by at least €200.`]));

export function found(garden: GardenDoc, revision: number): Found {
  const pond = garden.jobs.find((j) => j['id'] === 'pond');
  const starts = Object.fromEntries(garden.jobs.flatMap((j) => { const s = startOf(j); return s === null ? [] : [[String(j['id']), s]]; }));
  const was = startOf(pond!);
  const better = pond !== undefined && was !== null && was !== 40;
  if (better) starts['pond'] = 40;
  return {
    asked: true, revision, over: true, kept: false, no_plan: '', ways: [], how_sure: 'Nothing better exists.', proven: true, seconds: 0.4, solver: 'made up', starts,
    moves: better ? [{ id: 'pond', was, now: 40, words: `Dig the pond court moves from ${writeMonth(FIRST, was!)} to ${writeMonth(FIRST, 40)}, ${Math.abs(40 - was!)} months ${was! > 40 ? 'earlier' : 'later'}.` }] : [],
    gain: better ? 0.021 : 0, words: better ? 'A better order is known: it gives 2.1 in 100 more use of the garden.' : 'The order that is written is the best there is.',
  };
}
export function asides(garden: GardenDoc, route: string, query: URLSearchParams, body: Body, revision: number): unknown {
  const starts = found(garden, revision).starts;
  const musts = [{ id: 'sum', breaks: true, words: 'No year costs more than €2,400. 2030: fails instead of “holds”. €2,650 is spent in 2030; €250 too much.' }];
  switch (route) {
    case 'GET /api/years/why': return { revision, why: why(garden) };
    case 'GET /api/years/earlier': return { job: query.get('job'), words: 'at most 1.4 in 100; 1 other job would move', impossible: false, moves: ['Hang the side gate moves from April 2028 to May 2028, 1 month later.'] };
    case 'GET /api/years/way-in': return { job: query.get('job'), sentences: ['€300 more to spend by the end of 2029 would do.'] };
    case 'GET /api/years/all-wishes': return { possible: false, sentence: 'These can’t all be had together: Dig the pond court done within the years; no more than €2,400 to spend by the end of 2031.', ways: ['€300 more in 2031 would do.'], note: '' };
    case 'POST /api/years/what-if': return { ask: body['ask'], what_if: '20 in 100 less money a year', words: 'With 20 in 100 less money a year the garden gives 4.1 in 100 less use.', possible: true, share: -0.041, now: starts, then: starts, moves: ['Dig the pond court moves from April 2031 to May 2031, 1 month later.'], curve: YEARS.map((y, i) => [y, 40 * (i + 1), 36 * (i + 1)]), musts };
    case 'GET /api/years/safe': return query.get('wanted')
      ? { words: 'Planned with 10 in 100 put by on every cost, the money is enough in every year in 9 chances in 10; it gives 1.2 in 100 less use.', reached: true, starts, moves: ['Dig the pond court moves.'], edit: { label: 'Plan with something put by', ops: [{ do: 'change', part: 'jobs', id: 'pond', value: { start: keepMonth(FIRST, 40) } }] }, revision }
      : { words: 'That the money is enough in every year: 7 chances in 10.', how: ['The plan was carried out to the letter in 4000 drawn worlds.'], years: YEARS.map((year, i) => ({ year, words: 'money enough: 9 chances in 10; time enough over the year: as good as sure', money: 0.9 - i / 15, hours: 0.99 })) };
    case 'GET /api/years/soon': return { months: [{ month: '2027-01', words: 'January 2027', tasks: [{ kind: 'order', job: 'plant-hedge', words: 'Order for “Plant the hornbeam hedge” now: it should have been ordered by November 2026. It begins in February 2027.', late: true, things: ['35 whips'] }, { kind: 'begin', job: 'dig-beds', words: 'Begin “Dig the kitchen beds” (13 h, €180).', late: false, things: [] }] }, { month: '2027-02', words: 'February 2027', tasks: [] }], too_late: [], wet: [{ job: 'dig-beds', possible: false, words: '“Dig the kitchen beds”: leave it. Wet soil is not dug, trodden or planted.' }] };
    case 'POST /api/years/again': return body['wider'] ? { words: 'Moving more than that would bring no more use.', both: [], wide: null } : { words: '1 job changes.', possible: true, notes: ['€400 spent so far; €2,000 in hand at the beginning of June 2028.'], rows: [{ id: 'pond', name: 'Dig the pond court', was: 'April 2031', now: writeMonth(FIRST, 40), why: 'there is room for it now' }], edit: { label: 'Plan again from June 2028', ops: [{ do: 'change', part: 'jobs', id: 'pond', value: { start: keepMonth(FIRST, 40) } }] }, revision };
    case 'POST /api/years/otherwise': return { musts, revision };
    default: return null;
  }
}
/** Months the found order writes, as an edit's operations. */
export function taken(garden: GardenDoc, revision: number): { do: 'change'; part: string; id: string; value: Doc }[] {
  return found(garden, revision).moves.map((m) => ({ do: 'change', part: 'jobs', id: m.id, value: { start: m.now === null ? null : keepMonth(FIRST, m.now) } }));
}
