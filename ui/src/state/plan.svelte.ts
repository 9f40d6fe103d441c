/** The years month by month: what is written, the job in hand, what it would do, and plans laid beside it. */
import { get, post, sentence } from '../lib/api/client';
import { Latest } from '../lib/api/latest';
import type { Edit } from '../lib/api/types';
import type { Found, PlannedJob, Sums, TryReply, YearsReply } from '../lib/api/years';
import { keepMonth, stepMonth, writeMonth } from '../lib/words/months';
import type { Board } from './board.svelte';

export interface Held { job: string; start: number | null; from: number | null; by: 'pointer' | 'keys' }
/** A plan laid beside the written one: where each job would begin. */
export interface Beside { words: string; starts: Record<string, number> }

export class Plan {
  reply = $state.raw<YearsReply | null>(null);
  why = $state.raw<Record<string, string>>({});
  chosen = $state('');
  held = $state.raw<Held | null>(null);
  trial = $state.raw<TryReply | null>(null);
  found = $state.raw<Found | null>(null);
  beside = $state.raw<Beside | null>(null);
  readonly window = `years-${Math.random().toString(36).slice(2, 10)}`;
  private readonly asking: Latest<Held, TryReply>;
  /** The hand put the outlines of the best order away: they stay away until it is asked for anew. */
  private away = false;
  private endedBefore = 0;
  /** How often something was told of a search. */
  private news = 0;
  /** How many times the plan was asked for, and which of these is shown. */
  private asked = 0;
  private shown = 0;

  constructor(readonly board: Board) {
    this.asking = new Latest(
      (held) => {
        this.endedBefore = this.board.ended;
        return post<TryReply>('/api/years/try', { job: held.job, start: held.start, window: this.window });
      },
      (trial) => this.told(trial),
      (error) => this.board.desk.note(sentence(error), true),
    );
  }

  /** Whether the garden has changed since the plan that is drawn was read. */
  get stale(): boolean {
    const { garden } = this.board;
    return this.reply !== null && garden !== null && this.reply.revision !== garden.revision;
  }
  get months(): number {
    return (this.reply?.years.length ?? 0) * 12;
  }
  get first(): number {
    return this.reply?.first_year ?? 0;
  }
  /** Money and hours to draw: those of the job in hand if they are known. */
  get sums(): Sums | null {
    return this.trial ?? this.reply;
  }
  job(id: string): PlannedJob | null {
    return this.reply?.jobs.find((j) => j.id === id) ?? null;
  }
  write(month: number | null): string {
    return month === null ? 'not in the plan' : writeMonth(this.first, month);
  }
  /** Where a job is drawn: in the hand, else as it is written. */
  startOf(job: PlannedJob): number | null {
    return this.held?.job === job.id ? this.held.start : job.start;
  }

  async load(): Promise<void> {
    const nth = (this.asked += 1);
    const reply = await get<YearsReply>('/api/years');
    // Answers may overtake each other; an older one must not bring back what has changed since.
    if (nth < this.shown) return;
    this.shown = nth;
    // What was laid beside another plan is over; the best order known is laid again by `take`.
    if (this.reply && this.reply.revision !== reply.revision && this.beside?.starts !== this.found?.starts) this.beside = null;
    this.reply = reply;
    if (this.held && !this.job(this.held.job)) this.leave();
    if (!this.held) this.trial = null;
    if (this.chosen && !this.job(this.chosen)) this.chosen = '';
    const told = this.news;
    const [{ why }, found] = await Promise.all([get<{ why: Record<string, string> }>('/api/years/why'), get<Found>('/api/years/found')]);
    if (nth < this.shown) return;
    this.why = why;
    // What was told of a search meanwhile is newer than what was asked before it.
    if (told === this.news) this.take(found.asked === false ? null : found);
  }
  /** News of the search for the best order. */
  take(found: Found | null): void {
    this.news++;
    const shown = this.beside !== null && this.beside.starts === this.found?.starts;
    this.found = found;
    const better = found?.starts && found.moves.length > 0 && found.gain >= 0;
    if (better && !this.away && (this.beside === null || shown)) this.beside = { words: 'the best order found', starts: found.starts! };
    else if (shown) this.beside = null;
  }

  pick(job: PlannedJob, by: Held['by'], start: number | null = job.start): void {
    if (job.state === 'done' || job.state === 'begun') {
      this.board.desk.note(`“${job.name}” is ${job.state}: the journal says when, so it stays.`);
      return;
    }
    this.chosen = job.id;
    this.held = { job: job.id, start: start ?? job.fits[0] ?? 0, from: job.start, by };
    if (this.held.start !== this.held.from) this.asking.put(this.held);
  }
  to(start: number | null): void {
    if (!this.held || this.held.start === start) return;
    this.held = { ...this.held, start };
    this.asking.put(this.held);
  }
  step(by: number): void {
    const job = this.held && this.job(this.held.job);
    if (job && this.held!.start !== null) this.to(stepMonth(this.held!.start, by, this.months, job.months));
  }
  /** Let go of the job and forget what it would have done. */
  leave(): void {
    this.asking.drop();
    this.held = null;
    this.trial = null;
    this.board.untried();
  }
  async drop(): Promise<boolean> {
    const { held } = this;
    const job = held && this.job(held.job);
    if (!held || !job) return false;
    if (held.start === held.from) {
      this.leave();
      return false;
    }
    this.asking.drop();
    const kept = await this.place(job, held.start);
    if (this.held === held) this.leave();
    return kept;
  }
  place(job: PlannedJob, start: number | null): Promise<boolean> {
    const label = start === null ? `Take “${job.name}” out of the plan` : `Move “${job.name}” to ${this.write(start)}`;
    return this.change(job, label, { start: start === null ? null : keepMonth(this.first, start) });
  }
  pin(job: PlannedJob): Promise<boolean> {
    const pinned = job.state === 'booked';
    return this.change(job, `${pinned ? 'Unpin' : 'Pin'} “${job.name}”`, { booked: !pinned });
  }
  change(job: PlannedJob, label: string, value: Edit['ops'][number]['value']): Promise<boolean> {
    return this.board.commit({ label, ops: [{ do: 'change', part: 'jobs', id: job.id, value: value! }] });
  }

  private told(trial: TryReply): void {
    if (this.held?.job !== trial.job) return;
    this.trial = trial;
    this.board.touched(trial.verdicts, trial.left, this.board.ended !== this.endedBefore);
  }

  /** How often a plan was laid beside the written one by hand: whoever does wants to see it. */
  laid = $state(0);

  /** Lay a plan beside the written one, or put it away if it lies there. */
  lay(beside: Beside): void {
    this.away = this.beside?.starts === beside.starts;
    this.beside = this.away ? null : beside;
    if (!this.away) this.laid += 1;
  }
  putAway(): void {
    this.away = true;
    this.beside = null;
  }

  async look(seconds: number): Promise<void> {
    this.away = false;
    await this.board.try(async () => this.take(await post<Found>('/api/years/find', { seconds })));
  }
  async stop(): Promise<void> {
    await this.board.try(async () => this.take(await post<Found>('/api/years/stop')));
  }
  async takeFound(): Promise<void> {
    await this.board.try(async () => {
      const { changed } = await post<{ changed: number }>('/api/years/take');
      this.beside = null;
      await this.board.refresh();
      this.board.desk.note(`${changed} ${changed === 1 ? 'job has a new month' : 'jobs have new months'}. “Take back” undoes it.`);
    });
  }
}
