/** What the page holds: the pack, the notes, and handing them back. Nothing shows as entered before it is kept. */
import { Refusal, sentence } from '../lib/api/client';
import { freshId, freshNote, today } from '../lib/saturday/note';
import { needs, NOBODY, ofNow, same, ticksOf, type Held, type Live, type SatStep, type Ticked } from '../lib/saturday/steps';
import { readLength } from '../lib/words/length';
import type { BothViews, When } from '../lib/api/both';
import type { DayDone } from '../lib/api/day';
import type { Keep } from './keep';
import { keepWord, kept } from './kept';
import { names, namesOf, twoNames } from './names';
import type { Pictures } from './pictures';
import { FORMAT, type Back, type BackReply, type First, type KeptNote, type Note, type Pack, type PackJob, type What } from './types';

export interface Link { readonly home: boolean; pack(): Promise<Pack>; together(): Promise<Live>; views(job: string, at?: string, when?: When): Promise<BothViews>; day(day: string): Promise<DayDone>; give(back: Back): Promise<BackReply>; enter(phrase: string): Promise<void> }
export type Where = 'looking' | 'here' | 'away' | 'door' | 'shut' | 'alone';
export type Entry = Omit<Note, 'id' | 'made' | 'day'> & { what: What };

/** What somebody else read of a line, or this phone. */
export interface Read { m: number; text: string; by: string }

const AT_ONCE = 100;
const KEEP_TAKEN = 200;
const NAME_KEY = 'quincunx-reader';
const PHONE_KEY = 'quincunx-phone';
export const MOST_NAME = 24;
/** Stakes one note names at most. */
const MOST_NAMED = 20;
const AGAIN_MS = 15_000;
/** So soon the program is asked again while it doesn't answer, and more slowly once it has been away for a while. */
const SOON_MS = [1_000, 2_000, 2_500];
const LONG_AWAY = 120;
const SLOW_MS = 10_000;
/** So soon nobody enters the same once more on purpose. */
const TWICE_MS = 1_000;
/** So often is asked who has what, or at the door whether one may come in, while the page is looked at and the program answers. */
const LIVE_MS = 3_000;
const LIVE_KEY = 'quincunx-together';
/** The pictures of so many jobs are fetched before they are asked for, this long after the page has come. */
const AHEAD = 2;
const AHEAD_MS = 3_000;

/** Whether a note says more than what the program told at a moment: it took that one in since, or hasn't yet. */
function newer(n: KeptNote, told: string): boolean {
  return n.state === 'waiting' || (n.since ?? n.note.made) > told;
}

export class Carry {
  pack = $state.raw<Pack | null>(null);
  packAt = $state('');
  /** What is taped on the first Saturday, on ground that was never measured. */
  first = $state.raw<First | null>(null);
  notes = $state.raw<readonly KeptNote[]>([]);
  where = $state<Where>('looking');
  fault = $state('');
  /** Why nothing can be shown yet. */
  trouble = $state('');
  busy = $state(false);
  lasting = $state(true);
  /** Who has which step and what is ticked, as the program told it last, and when that was asked. */
  live = $state.raw<Live>(NOBODY);
  private liveAt = '';
  private asking = false;
  /** What was entered last, and when. */
  private said = { text: '', at: 0 };
  /** What is to be said of this phone's clock. */
  clock = $state('');
  /** The short name of whoever reads on this phone, if they gave one; kept here, and in what they read. */
  name = $state(kept(NAME_KEY));
  private readonly phone = tagOf();
  private soon: ReturnType<typeof setTimeout> | undefined;
  private ahead: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly keep: Keep, private readonly link: Link | null, private readonly pictures: Pictures) {
    this.lasting = keep.lasting;
  }

  /** Whether the drawing board is on the same address. */
  get home(): boolean {
    return this.link?.home ?? false;
  }
  /** Whether the program answers, but lets nobody in yet. */
  private get outside(): boolean {
    return this.where === 'door' || this.where === 'shut';
  }
  get waiting(): KeptNote[] {
    return this.notes.filter((n) => n.state === 'waiting');
  }

  async start(given: Pack | null): Promise<void> {
    const newest = (await this.keep.packs()).sort((a, b) => b.at.localeCompare(a.at))[0];
    if (given) await this.take(given);
    else if (newest) await this.show(newest.pack, newest.at);
    if (!this.link) {
      this.where = 'alone';
      return;
    }
    await this.look();
    // Whatever says that somebody is at the phone, or that it has a network again: ask at once.
    addEventListener('online', () => void this.look());
    addEventListener('pageshow', () => void this.look());
    addEventListener('focus', () => this.ifAway());
    addEventListener('pointerdown', () => this.ifAway());
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible') void this.look();
    });
    this.askAgain(0);
    setInterval(() => {
      if (this.waiting.length || (this.live !== NOBODY && this.isOld)) void this.look();
    }, AGAIN_MS);
    setInterval(() => {
      if (document.visibilityState === 'visible') void (this.outside ? this.look() : this.lookWho());
    }, LIVE_MS);
  }

  /** Whether the plan that is carried is of another state of the garden, or of another day, than the program last told. */
  private get isOld(): boolean {
    return this.live.revision !== this.pack?.revision || this.live.today !== this.pack?.today;
  }
  /** The day at the garden as far as is known here: by the board's clock while it answers, else by this phone's. */
  get today(): string {
    return (this.where === 'here' && this.live.today) || today();
  }

  /** Ask while the program doesn't answer: soon, more slowly after some minutes, and not at all while nobody looks. */
  private askAgain(times: number): void {
    const after = times > LONG_AWAY ? SLOW_MS : SOON_MS[Math.min(times, SOON_MS.length - 1)]!;
    setTimeout(() => {
      const away = this.where === 'away';
      if (away && navigator.onLine && document.visibilityState === 'visible') void this.look();
      this.askAgain(away ? times + 1 : 0);
    }, after);
  }
  private ifAway(): void {
    if (this.where === 'away') void this.look();
  }

  /** Ask the program for the newest pack, and hand back what waits. */
  async look(): Promise<void> {
    if (!this.link || this.busy) return;
    this.busy = true;
    try {
      const pack = await this.link.pack();
      this.where = 'here';
      this.trouble = '';
      if (pack.mark !== this.pack?.mark || pack.revision !== this.pack.revision || pack.today !== this.pack.today || pack.money !== this.pack.money) {
        await this.take(pack);
        this.fetchAhead();
      }
      await this.give();
      await this.lookWho();
    } catch (error) {
      this.missed(error);
    } finally {
      this.busy = false;
    }
  }

  /** Ask who has what; where the program doesn't answer, the next look at the plan says so. */
  async lookWho(): Promise<void> {
    if (!this.link || this.where !== 'here' || this.asking) return;
    this.asking = true;
    const at = after(this.toldAt, new Date().toISOString());
    try {
      const live = await this.link.together();
      [this.live, this.liveAt] = [live, at];
      keepWord(`${LIVE_KEY}-${this.pack?.mark ?? ''}`, JSON.stringify({ live, at }));
      await this.introduce();
      // Whether prices are shown is said by the board, and a phone that is shown none keeps none.
      if (live.money !== undefined && this.pack?.money !== undefined && live.money !== this.pack.money) void Promise.resolve().then(() => this.look());
    } catch {
      void this.look();
    } finally {
      this.asking = false;
    }
  }

  /** Whoever named this phone before it met this garden, or on another day, is said to be there too, once a day. */
  private async introduce(): Promise<void> {
    const said = this.live.people.some((p) => same(p, this.name)) || this.notes.some((n) => n.note.what === 'here' && same(n.note.by ?? '', this.name) && (n.state === 'waiting' || n.note.day === today()));
    if (this.name && !said) await this.comes();
  }
  private async comes(): Promise<void> {
    await this.add({ what: 'here', nth: this.nextNth }, `${this.name} is on this phone`);
  }

  private missed(error: unknown): void {
    const status = error instanceof Refusal ? error.status : -1;
    this.where = status === 401 ? 'door' : status === 403 ? 'shut' : 'away';
    if (!this.pack) this.trouble = sentence(error);
    if (status > 0 && this.where === 'away') this.fault = sentence(error);
  }

  private async take(pack: Pack): Promise<void> {
    const at = after(this.toldAt, new Date().toISOString());
    await this.keep.putPack(pack, at);
    await this.show(pack, at);
  }
  private async show(pack: Pack, at: string): Promise<void> {
    const notes = inOrder(await this.keep.notes(pack.mark));
    // Once a first reading is handed in the ground counts as being measured; the list stays until all of it is taped.
    const key = `quincunx-first-${pack.mark}`;
    let first = pack.first ?? this.first;
    try {
      if (pack.first) localStorage.setItem(key, JSON.stringify(pack.first));
      else first = JSON.parse(localStorage.getItem(key) ?? 'null') as First | null;
    } catch {
      // what is known of this visit does
    }
    if (this.pack?.mark !== pack.mark) this.knew(pack.mark);
    // All at once: a page that opens on the pack must know by then what is taped first.
    [this.notes, this.first, this.packAt, this.pack] = [notes, first, at, pack];
  }

  /** What was known of who has what when this page was open last. */
  private knew(mark: string): void {
    try {
      const known = JSON.parse(kept(`${LIVE_KEY}-${mark}`) || 'null') as { live: Live; at: string } | null;
      [this.live, this.liveAt] = known ? [known.live, known.at] : [NOBODY, ''];
    } catch {
      [this.live, this.liveAt] = [NOBODY, ''];
    }
  }

  /** The pictures with what a job makes and without it: as they were kept, else drawn by the program and kept from then on. */
  async views(job: string): Promise<BothViews> {
    const carried = this.pack?.views?.[job];
    if (carried) return carried;
    const key = `${this.pack?.mark ?? ''}/${job}`;
    const kept = await this.pictures.get(key);
    if (kept && (kept.revision === this.pack?.revision || this.where !== 'here')) return kept;
    if (!this.link || this.where !== 'here') {
      throw new Refusal(0, 'These pictures are drawn by the program at home. Look at them once while it answers, and they stay on this phone.');
    }
    try {
      const fresh = await this.link.views(job);
      await this.pictures.put(key, fresh);
      return fresh;
    } catch (error) {
      if (kept) return kept;
      throw error;
    }
  }
  /** The same from any point of the plan, or at another moment; drawn by the program each time, and not kept. */
  async viewsFrom(job: string, at: readonly [number, number] | null, when: When): Promise<BothViews> {
    if (!this.link) throw new Refusal(0, 'These pictures are drawn by the program at home.');
    return this.link.views(job, at ? `${at[0].toFixed(2)},${at[1].toFixed(2)}` : '', when);
  }
  /** What was done on a day and by whom, as the program has it. */
  async day(day: string): Promise<DayDone> {
    if (!this.link) throw new Refusal(0, 'What all of you did is put together by the program at home.');
    return this.link.day(day);
  }
  /** Fetch the pictures of the jobs of now while the program answers, so that they are there without a signal. */
  private fetchAhead(): void {
    clearTimeout(this.ahead);
    const now = (this.pack?.jobs ?? []).filter((j) => j.now).slice(0, AHEAD);
    this.ahead = setTimeout(() => void (async () => {
      for (const job of now) if (this.where === 'here') await this.views(job.id).catch(() => undefined);
    })(), AHEAD_MS);
  }

  async enter(phrase: string): Promise<void> {
    await this.link?.enter(phrase);
    await this.look();
  }

  /** Keep what was entered; it is handed back as soon as the program answers. */
  async add(entry: Entry, words: string): Promise<boolean> {
    if (!this.pack) return false;
    const said = JSON.stringify(entry);
    // Nobody enters the same twice within a moment: that was one tap too many.
    if (said === this.said.text && Date.now() - this.said.at < TWICE_MS) return true;
    this.said = { text: said, at: Date.now() };
    const fresh = freshNote({ phone: this.phone, ...(this.name ? { by: this.name } : {}), ...this.named(entry), ...entry });
    // A clock that is set back in the middle of the day puts nothing before what was entered first.
    const note: Note = { ...fresh, made: after(this.notes.at(-1)?.note.made, fresh.made) };
    const kept: KeptNote = { note, mark: this.pack.mark, state: 'waiting', because: '', words };
    try {
      await this.keep.put([kept]);
    } catch (error) {
      this.said = { text: '', at: 0 };
      this.fault = `This phone could not keep that: ${sentence(error)}. Save the file now, then try again.`;
      return false;
    }
    this.notes = inOrder([...this.notes, kept]);
    clearTimeout(this.soon);
    if (this.where === 'here') this.soon = setTimeout(() => void this.look(), 700);
    return true;
  }
  /** The measured stakes that an entry names, with where they stand in the plan that is carried: by then another may have that name. */
  private named(entry: Entry): Pick<Note, 'stakes'> {
    const text = entry.what === 'reading' ? (entry.text ?? '') : entry.what === 'measured' ? (entry.points ?? []).join(' ; ') : '';
    const found = this.pack?.measured && text ? this.pack.stakes.filter((s) => names(text, s.name) || names(text, s.id)).slice(0, MOST_NAMED) : [];
    return found.length ? { stakes: Object.fromEntries(found.map((s) => [s.id, s.at])) } : {};
  }
  async remove(id: string): Promise<void> {
    await this.keep.drop([id]);
    this.notes = this.notes.filter((n) => n.note.id !== id);
  }

  /** Hand back what waits, pictures one by one; a note leaves the waiting ones only when the program says it has it. */
  private async give(): Promise<void> {
    if (!this.link || !this.pack) return;
    const waiting = this.waiting;
    const large = waiting.filter((n) => n.note.picture);
    const plain = waiting.filter((n) => !n.note.picture);
    const parts: KeptNote[][] = [];
    for (let i = 0; i < plain.length; i += AT_ONCE) parts.push(plain.slice(i, i + AT_ONCE));
    parts.push(...large.map((n) => [n]));
    for (const part of parts) {
      await this.marked(this.left(part));
      const now = this.left(part);
      if (now.length) await this.settle(now, await this.link.give({ ...this.back(now), sent: new Date().toISOString() }));
    }
    if (!parts.length) return;
    await this.lookWho();
    const pack = await this.link.pack();
    await this.take(pack);
  }
  /** What of these notes still waits, as it is by now: one may have been taken back while those before it were on their way. */
  private left(part: readonly KeptNote[]): KeptNote[] {
    const ids = new Set(part.map((n) => n.note.id));
    return this.waiting.filter((n) => ids.has(n.note.id));
  }
  /** A reading that may have arrived although no answer came back can't be taken back by forgetting it here. */
  private async marked(part: readonly KeptNote[]): Promise<void> {
    const fresh = part.filter((n) => n.note.what === 'reading' && !n.sent);
    if (fresh.length) await this.change(fresh.map((n): KeptNote => ({ ...n, sent: true })));
  }
  private async change(changed: readonly KeptNote[]): Promise<void> {
    await this.keep.put([...changed]);
    const by = new Map(changed.map((n) => [n.note.id, n]));
    this.notes = inOrder(this.notes.map((n) => by.get(n.note.id) ?? n));
  }
  /** Take back a reading made here, wherever it is by now; one that could not be taken in is in no garden, and is forgotten. */
  async unread(n: KeptNote): Promise<void> {
    if (n.state === 'waiting' && (n.because || (!n.sent && !n.filed))) return this.remove(n.note.id);
    if (await this.add({ what: 'unread', text: n.note.text ?? '', by: n.note.by ?? '' }, `Taken back: ${n.words}`)) await this.change([{ ...n, unread: true }]);
  }
  private async settle(part: readonly KeptNote[], reply: BackReply): Promise<void> {
    const taken = new Set(reply.taken);
    this.clock = reply.clock ?? '';
    const wrong = new Map(reply.problems.map((p) => [p.id, p.because]));
    const met = new Map((reply.told ?? []).map((t) => [t.id, t.words]));
    const now = new Map(this.notes.map((n) => [n.note.id, n]));
    const since = after(this.toldAt, new Date().toISOString());
    const changed = part.map((given): KeptNote => {
      const n = now.get(given.note.id) ?? given; // it may have been taken back while it was on its way
      const told = met.get(n.note.id) ?? n.told;
      if (taken.has(n.note.id)) return { ...n, state: 'taken', since, because: '', note: withoutPicture(n.note), ...(told ? { told } : {}) };
      return { ...n, because: wrong.get(n.note.id) ?? n.because };
    });
    await this.change(changed);
    const talk = (n: KeptNote): boolean => n.note.what === 'has' || n.note.what === 'here';
    const given = this.notes.filter((n) => n.state === 'taken');
    const old = [...given.filter(talk).slice(0, -KEEP_TAKEN), ...given.filter((n) => !talk(n)).slice(0, -KEEP_TAKEN)];
    if (old.length) {
      await this.keep.drop(old.map((n) => n.note.id));
      this.notes = this.notes.filter((n) => !old.includes(n));
    }
    this.fault = wrong.size ? `${wrong.size === 1 ? 'One note' : `${wrong.size} notes`} could not be taken in: see “What you entered”.` : '';
  }
  back(notes: readonly KeptNote[]): Back {
    return { format: FORMAT, mark: this.pack?.mark ?? '', garden: this.pack?.garden ?? '', notes: notes.map((n) => n.note) };
  }

  /** Write what waits into a small file to send home. */
  async saveFile(): Promise<void> {
    const waiting = this.waiting;
    const name = `back-${(this.pack?.garden ?? 'garden').toLowerCase().replace(/[^a-z0-9]+/g, '-')}-${today()}.json`;
    const url = URL.createObjectURL(new Blob([JSON.stringify(this.back(waiting), null, 1)], { type: 'application/json' }));
    const link = document.createElement('a');
    link.href = url;
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(url), 60_000);
    const filed = new Date().toISOString();
    await this.change(waiting.map((n) => ({ ...n, filed })));
  }

  /** Whether a job was called done from this phone; what the plan that is carried knew then says so until it is fetched anew. */
  done(id: string): boolean {
    return this.notes.some((n) => n.note.what === 'done' && n.note.about === id && (!this.job(id) || n.state === 'waiting' || n.note.made > this.packAt));
  }
  /** The jobs of now that are not done, or where none is left those of later this year. */
  get saturday(): PackJob[] {
    return this.pack ? ofNow(this.pack, (id) => this.done(id)) : [];
  }
  /** What is taped first, until all of it is. */
  get groundLeft(): First | null {
    const left = this.first?.tapes.some((t) => !this.taped(t.start, t.end));
    return this.first && (this.pack?.first || left) ? this.first : null;
  }
  /** The last length read between two stakes, as it was typed here; nothing if none was. */
  readBetween(start: string, end: string): string {
    return this.mineBetween(start, end).at(-1) ?? '';
  }
  private mineBetween(start: string, end: string): string[] {
    const known = [...namesOf(this.pack?.stakes ?? []), start, end];
    return this.notes.flatMap((n) => {
      const found = n.note.what === 'reading' && !n.unread ? twoNames(n.note.text ?? '', known) : null;
      return found && sameEnds([found[0], found[1]], [start, end]) ? [found[2]] : [];
    });
  }
  /** What others read between two stakes, as far as the plan that is carried knows. */
  othersBetween(start: string, end: string): Read[] {
    const mine = this.mineBetween(start, end);
    return (this.pack?.read ?? []).filter((r) => {
      if (!sameEnds([r.start, r.end], [start, end]) || (r.by && r.by === this.name)) return false;
      const own = mine.indexOf(r.text);
      if (own >= 0) mine.splice(own, 1);
      return own < 0;
    });
  }
  /** Whether a line between two stakes was read by anybody. */
  taped(start: string, end: string): boolean {
    return Boolean(this.readBetween(start, end)) || this.othersBetween(start, end).length > 0;
  }
  job(id: string): PackJob | undefined {
    return this.pack?.jobs.find((j) => j.id === id);
  }
  /** Whether something on a job's lists is ticked: by what was entered here last, else by what the garden knew. */
  ticked(job: PackJob, key: string): boolean {
    const mine = this.notes.filter((n) => n.note.what === 'ticked' && n.note.about === job.id && n.note.points?.[0] === key && newer(n, this.toldAt)).at(-1);
    if (mine) return mine.note.on !== false;
    if (this.liveAt <= this.packAt) return job.ticked.includes(key);
    const words = job.lists.flatMap((l) => l.items).find((i) => i.id === key)?.words ?? '';
    return ticksOf(this.live, job.id, key, words).length > 0;
  }
  /** When the program told last what is ticked. */
  private get toldAt(): string {
    return this.liveAt > this.packAt ? this.liveAt : this.packAt;
  }
  /** What is ticked as the program told it last: with the plan, or with who has what. */
  private get toldTicks(): Ticked[] {
    if (this.liveAt > this.packAt) return this.live.ticks;
    return (this.pack?.jobs ?? []).flatMap((j) => [
      ...j.ticked.map((key) => this.live.ticks.find((t) => t.job === j.id && t.key === key) ?? { job: j.id, key, text: '', by: '', phone: '' }),
      ...j.measured.flatMap((m) => this.readAs(j, m.points, { by: m.by ?? '', phone: m.phone ?? '', m: m.m })),
    ]);
  }
  /** A length that was read, as the step it proves. */
  private readAs(job: PackJob, ends: readonly string[], read: { by: string; phone: string; m: number }): Ticked[] {
    const key = job.checks.find((c) => sameEnds(ends, c.ends))?.key;
    return key ? [{ job: job.id, key, text: '', ...read }] : [];
  }
  /** What was read here and isn't told yet, as the steps it proves. */
  private get ownProofs(): (Ticked & { instead?: true })[] {
    const writing = this.pack?.writing;
    return this.notes.filter((n) => n.note.what === 'measured' && newer(n, this.toldAt)).flatMap((n) => {
      const [job, found] = [this.job(n.note.about ?? ''), writing ? readLength(n.note.length ?? '', writing) : null];
      return job && found?.ok ? this.readAs(job, n.note.points ?? [], { by: n.note.by ?? '', phone: this.phone, m: found.metres }).map((t) => (n.note.instead ? { ...t, instead: true as const } : t)) : [];
    });
  }
  /** Who has what and what is ticked, with what was entered here and isn't there yet. */
  get shared(): Live {
    const own = this.notes.filter((n) => (n.note.what === 'has' && newer(n, this.liveAt)) || (n.note.what === 'ticked' && newer(n, this.toldAt)));
    const is = (n: KeptNote, of: { job: string; key: string }): boolean => n.note.about === of.job && n.note.points?.[0] === of.key;
    let [held, ticks] = [this.live.having, this.toldTicks];
    for (const n of own) {
      const at = { job: n.note.about ?? '', key: n.note.points?.[0] ?? '', by: n.note.by ?? '', phone: this.phone };
      if (n.note.what === 'has') {
        held = held.filter((h) => !is(n, h) || !same(h.by, at.by));
        if (n.note.on !== false) held = [...held, { ...at, made: n.note.made, people: n.note.people ?? 1 } satisfies Held];
      } else {
        ticks = ticks.filter((t) => !is(n, t));
        if (n.note.on !== false) ticks = [...ticks, { ...at, text: n.note.text ?? '' }];
      }
    }
    for (const proof of this.ownProofs) ticks = [...(proof.instead ? ticks.filter((t) => t.job !== proof.job || t.key !== proof.key) : ticks), proof];
    return { ...this.live, having: held, ticks };
  }
  /** Whether several share the work: somebody said who is on this phone, or somebody else has a step. */
  get several(): boolean {
    return this.name !== '' || this.live.people.length > 0;
  }
  /** One more than the last word about any step that is known here: what is said next comes after it, whatever the clock says. */
  private get nextNth(): number {
    return Math.max(this.live.nth ?? 0, ...this.notes.map((n) => n.note.nth ?? 0)) + 1;
  }
  /** Take a step on, or let it go; who has it must have a name. */
  has(step: SatStep, on: boolean): Promise<boolean> {
    if (!this.name) return Promise.resolve(false);
    return this.add({ what: 'has', about: step.job, points: [step.key], on, people: needs(step), nth: this.nextNth, text: step.words }, `${on ? `${this.name} has` : 'Let go'}: ${step.words}`);
  }
  async hasAll(steps: readonly SatStep[]): Promise<void> {
    for (const step of steps) await this.has(step, true);
  }
  tick(job: PackJob, key: string, words: string, on: boolean): Promise<boolean> {
    return this.add({ what: 'ticked', about: job.id, points: [key], on, saw: job.ticked.includes(key), text: words }, `${on ? 'Ticked' : 'Not ticked any more'}: ${words}`);
  }
  /** The lengths this phone read between two points of a job, and those of nobody's phone, the newest last [m]. */
  read(job: PackJob, ends: readonly string[]): Read[] {
    const same = (points: readonly string[] | undefined): boolean => points?.length === 2 && sameEnds(points, ends);
    const before = job.measured.filter((m) => same(m.points) && (!m.phone || m.phone === this.phone)).map((m) => ({ m: m.m, text: m.text, by: m.by ?? '' }));
    const here = this.notes.filter((n) => n.note.what === 'measured' && n.note.about === job.id && n.state === 'waiting' && same(n.note.points));
    const writing = this.pack?.writing;
    const read = here.flatMap((n) => {
      const found = writing ? readLength(n.note.length ?? '', writing) : null;
      return found?.ok ? [{ m: found.metres, text: n.note.length ?? '', by: this.name }] : [];
    });
    return [...before, ...read];
  }
  /** What each other phone read last between two points of a job [m]. */
  others(job: PackJob, ends: readonly string[]): Read[] {
    if (this.isSetRight(job, ends)) return [];
    const last = new Map(job.measured.filter((m) => m.phone && m.phone !== this.phone && sameEnds(m.points, ends)).map((m) => [m.phone, { m: m.m, text: m.text, by: m.by ?? '' }]));
    return [...last.values()];
  }
  /** Keep who reads on this phone from now on; nobody where it is empty. */
  call(name: string): void {
    const before = this.name;
    this.name = name.trim().replace(/\s+/g, ' ').slice(0, MOST_NAME);
    keepWord(NAME_KEY, this.name);
    if (this.name && !same(this.name, before)) void this.comes();
  }
  /** Whether a length was set right here, and the program doesn't know yet: what others read before counts no more. */
  private isSetRight(job: PackJob, ends: readonly string[]): boolean {
    return this.waiting.some((n) => n.note.what === 'measured' && n.note.instead && n.note.about === job.id && sameEnds(n.note.points ?? [], ends));
  }
  /** Keep what a length reads; `instead` of whatever was read of it before, by whomever. */
  measured(job: PackJob, ends: readonly string[], typed: string, words: string, instead = false): Promise<boolean> {
    return this.add({ what: 'measured', about: job.id, points: [...ends], length: typed, text: words, ...(instead ? { instead: true as const } : {}) }, `${words} reads ${typed}${instead ? ', whatever was read before' : ''}`);
  }
}

/** This moment, or right after another one where the clock was set back meanwhile. */
function after(before: string | undefined, now: string): string {
  return before === undefined || before < now ? now : new Date(Date.parse(before) + 1).toISOString();
}
function sameEnds(a: readonly string[], b: readonly string[]): boolean {
  const low = b.map((p) => p.toLowerCase());
  return a.length === b.length && a.every((p) => low.includes(p.toLowerCase()));
}
/** What tells this phone from another one: made once, at random, and of nothing. */
function tagOf(): string {
  const known = kept(PHONE_KEY);
  if (/^[a-z0-9]{6,24}$/.test(known)) return known;
  const fresh = freshId().slice(1, 11);
  keepWord(PHONE_KEY, fresh);
  return fresh;
}
function inOrder(notes: readonly KeptNote[]): KeptNote[] {
  return [...notes].sort((a, b) => a.note.made.localeCompare(b.note.made) || a.note.id.localeCompare(b.note.id));
}
function withoutPicture(note: Note): Note {
  const { picture: _, ...rest } = note;
  return rest;
}
