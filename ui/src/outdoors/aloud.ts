/** The day's work as steps to read aloud, one at a time: what can hurt somebody before the first step of its job. */
import type { Writing } from '../lib/api/types';
import { capital } from '../lib/saturday/steps';
import { spoken } from '../lib/words/spoken';
import type { Check, Danger, First, FirstTape, Pack, PackJob, Proof, SetPoint, Tie } from './types';

/** A length to be read off at a step: one that proves what was set, or a first tape of the ground. */
export type Reads = { between: string; text: string } & ({ ends: [string, string]; proof: Proof } | { tape: FirstTape });
/** One step: what is shown large, what is said, what ticks it, what is read off. `care` marks a caution, `part` the heading it belongs to. */
export interface Step { job: string; part: string; head: string; body: string[]; care?: true; tick?: { key: string; words: string; done: string }; reads?: Reads }
export interface Part { words: string; at: number }

const BOUGHT = ['buy', 'parts'];
export const GROUND = '(the ground)';
/** What is taped of the ground, where a plan kept on the phone doesn't say it. */
export const TO_TAPE = 'a tape along each side';

/** Everything to read of some jobs, in order: the ground where it was never measured, then job by job. */
export function stepsOf(pack: Pack, jobs: readonly PackJob[], ground: First | null): Step[] {
  return [...(ground ? groundSteps(ground) : []), ...jobs.flatMap((job) => jobSteps(pack, job))];
}

function groundSteps(ground: First): Step[] {
  const [job, part] = [GROUND, 'Does the ground agree with the plan?'];
  const corners = Object.entries(ground.corners).map(([name, what]) => `${name} is the ${what}.`);
  return [
    { job, part, head: part, body: [`${capital(ground.to_tape ?? TO_TAPE)}, before anything is bought or dug.`, ...(ground.shows ? [ground.shows] : [])] },
    { job, part: 'Take care', head: 'Take care', body: [ground.care], care: true },
    { job, part: 'How', head: 'The corners', body: corners },
    ...ground.how.map((line, i) => ({ job, part: 'How', head: `How, ${i + 1} of ${ground.how.length}`, body: [line] })),
    ...ground.tapes.map((t) => ({ job, part: 'To tape', head: `${t.start} to ${t.end}`, body: [`It should read ${t.text}, ${t.within}: ${t.what}.`], reads: { between: `${t.start} to ${t.end}`, text: t.text, tape: t } })),
  ];
}

function jobSteps(pack: Pack, job: PackJob): Step[] {
  const own = (part: string, head: string, body: string[], more: Partial<Step> = {}): Step => ({ job: job.id, part, head, body, ...more });
  const hurts = job.hurts ?? job.cautions.length;
  const care = job.cautions.map((words, i) =>
    own('Take care', i < hurts ? `Take care${hurts > 1 ? `, ${i + 1} of ${hurts}` : ''}` : 'Take care of what grows and stands', [words], { care: true }),
  );
  const when = [job.month, job.hours].filter(Boolean).join(', ');
  const makes = job.makes.length ? [`It makes: ${job.makes.join(', ')}.`] : [];
  const where = [
    ...(job.first ? [own('Where it goes', 'Before the first point', [job.first])] : []),
    ...job.points.map((p) => own('Where it goes', `Point ${p.n} of ${job.points.at(-1)!.n}: ${p.words}`, pointLines(pack, p), { tick: { key: p.id, words: p.words, done: 'It is set' }, ...(p.check ? { reads: { between: `${p.check.name} to ${p.n}`, text: p.check.text, ends: [p.check.from, p.id] as [string, string], proof: p.check } } : {}) })),
    ...job.missing.map((words) => own('Where it goes', words, ['It can’t be set from these stakes.'])),
    ...job.shaping.map((line) => own('Where it goes', 'Between the points', [line])),
  ];
  const proofs = job.checks.map((c) => own('Prove it', `${c.names[0]} to ${c.names[1]}`, [checkLine(c)], { reads: { between: `${c.names[0]} to ${c.names[1]}`, text: c.text, ends: c.ends, proof: c } }));
  const lists = [...job.lists].sort((a, b) => Number(BOUGHT.includes(a.id)) - Number(BOUGHT.includes(b.id)));
  const warned = new Set<Danger>();
  const items = lists.flatMap((list) => list.items.flatMap((item, i) => [
    ...(item.care ?? []).filter((d) => job.care_at?.[d] && !warned.has(d) && warned.add(d)).map((d) => own(list.words, 'Take care before this', [job.care_at![d]!], { care: true })),
    own(list.words, `${list.words}, ${i + 1} of ${list.items.length}`, [item.words, ...(list.id === 'plant' || list.id === 'work' ? (item.how ?? []) : []), ...(item.two ? [`This needs two: ${item.two}.`] : [])], { tick: { key: item.id, words: item.words, done: 'Tick it' } }),
  ]));
  return [own(job.name, job.name, [...(when ? [`${when}.`] : []), ...makes]), ...care, ...where, ...proofs, ...items, own('The end', `That is all of: ${job.name}`, [pack.covers])];
}

function pointLines(pack: Pack, p: SetPoint): string[] {
  const check = p.check ? [`Then ${named(pack, p.check)} to ${p.n} must read ${p.check.text}, ± ${p.check.within}.`] : [];
  return [...(p.two ? [`This needs two: ${p.two}.`] : []), ...p.ties.map((t) => `${t.text} from ${named(pack, t)}${t.about && t.about !== 'stake' ? `, ${t.about}` : ''}.`), `Where both tapes meet, level and taut, ${p.hand}.`, ...p.how, ...check, `It comes to ${p.sure}.`];
}
function named(pack: Pack, tie: Tie): string {
  return pack.stakes.some((s) => s.id === tie.from) ? `stake ${tie.name}` : `point ${tie.name}, which you set`;
}
function checkLine(c: Check): string {
  return `When the points are set, ${c.names[0]} to ${c.names[1]} must read ${c.text}, ± ${c.within}. Dig only when it reads so.`;
}

/** What is said of a step: sentences, each with its own end, so that a voice draws breath between them. */
export function sayingOf(step: Step, writing: Writing): string {
  return [step.head, ...step.body].map((line) => spoken(line, writing)).map((line) => (/[.!?:]$/.test(line) ? line : `${line}.`)).join(' ');
}

/** Where each heading begins; of each job its own. */
export function partsOf(steps: readonly Step[]): Part[] {
  return steps.flatMap((s, i) => (i === 0 || s.job !== steps[i - 1]!.job || s.part !== steps[i - 1]!.part ? [{ words: s.part, at: i }] : []));
}

/** Where somebody stands in the reading. What asks for care in a job is heard before any other step of it. */
export class Reading {
  private readonly heard = new Set<string>();
  private then: number | null = null;
  at = 0;
  constructor(readonly steps: readonly Step[]) {}

  get step(): Step | undefined {
    return this.steps[this.at];
  }
  get last(): boolean {
    return this.then === null && this.at >= this.steps.length - 1;
  }
  /** Go to a step; to the first caution of its job instead, where they weren't all heard, and to the step after the last. */
  go(to: number): void {
    const wanted = this.steps[to];
    if (!wanted) return;
    const first = this.steps.findIndex((s) => s.job === wanted.job && s.care);
    // A caution right before a step of its own is no substitute for those that the job begins with.
    let through = first;
    while (this.steps[through + 1]?.care && this.steps[through + 1]!.job === wanted.job) through += 1;
    const waits = first >= 0 && to > through && !this.heard.has(wanted.job);
    this.then = waits ? to : null;
    this.at = waits ? first : to;
  }
  next(): void {
    const [here, after] = [this.step, this.steps[this.at + 1]];
    if (here?.care && !(after?.care && after.job === here.job)) {
      this.heard.add(here.job);
      const to = this.then ?? this.at + 1;
      this.then = null;
      this.go(to);
    } else if (after) this.at += 1;
  }
  back(): void {
    const [here, before] = [this.step, this.steps[this.at - 1]];
    if (!before) return;
    // Within a job, cautions too are gone back to; into the job before, what it asks for care comes first.
    if (before.job === here?.job) [this.at, this.then] = [this.at - 1, null];
    else this.go(this.at - 1);
  }
}
