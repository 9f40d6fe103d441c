/** The garden as the program last told it, and what the person looks at. The program is the authority. */
import { get, post, Refusal, sentence } from '../lib/api/client';
import { freshened } from '../lib/api/fresh';
import { Latest } from '../lib/api/latest';
import { OwnEdits } from '../lib/api/own';
import { today } from '../lib/saturday/note';
import { dateOf } from '../lib/words/months';
import { opensAt } from '../lib/words/opens';
import { turns, type Turn } from '../lib/words/outcome';
import type {
  Answer, Doc, Edit, EditReply, Evidence, FeatureDoc, GardenReply, GivenTo, Kind, MonthCell, MustKind, MustRow, NamedPoint, Part, QuestionName, Scene, SnapPoint, State, Table, TouchedVerdicts, VerdictCell, Walker, Writing,
} from '../lib/api/types';
import type { Desk } from './desk.svelte';

const METRIC: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
/** The month at whose end a year is judged, north and south of the equator. */
const IN_LEAF = { north: 8, south: 2 };
/** Verdicts that are not all yet are held back so long [ms]. */
const HOLD_MS = 220;

export function inLeaf(garden: GardenReply['garden']): number {
  const place = (garden['site'] as { place?: { latitude_deg?: number } | null } | undefined)?.place;
  return (place?.latitude_deg ?? 0) < 0 ? IN_LEAF.south : IN_LEAF.north;
}

/** The sheet with measured stakes to see and to snap to, in the place of those it knew. */
export function withStakes(scene: Scene, stakes: readonly NamedPoint[]): Scene {
  if (!stakes.length) return scene;
  const points = scene.snaps.points.filter((p) => p[2] !== 'stake');
  const found = stakes.map((s): SnapPoint => [s.at[0], s.at[1], 'stake', s.id, s.name]);
  return { ...scene, stakes: [...stakes], snaps: { ...scene.snaps, points: [...points, ...found] } };
}

/** What is asked over the sheet: the question, what its inputs were given, and when. */
export interface Asking { name: string; given: GivenTo; year: number; month: number }

export function newName(stem: string): string {
  return `${stem}-${Math.random().toString(36).slice(2, 10)}`;
}

export class Board {
  state = $state.raw<State | null>(null);
  garden = $state.raw<GardenReply | null>(null);
  scene = $state.raw<Scene | null>(null);
  table = $state.raw<Table | null>(null);
  kinds = $state.raw<Kind[]>([]);
  mustKinds = $state.raw<MustKind[]>([]);
  parts = $state.raw<Part[]>([]);
  walkers = $state.raw<Walker[]>([]);
  questions = $state.raw<QuestionName[]>([]);
  /** So often somebody took a step of this Saturday on, let it go, or handed something in. */
  saturday = $state(0);
  year = $state(0);
  month = $state(IN_LEAF.north);
  /** Whether the year was chosen by hand: then the next garden that has it opens at it. */
  private byHand = false;
  chosen = $state.raw<readonly string[]>([]);
  /** Verdicts of a drag under way, by must, as they are shown. */
  fresh = $state.raw<ReadonlyMap<string, VerdictCell[]>>(new Map());
  /** The newest of them, where not shown yet. */
  private newest: ReadonlyMap<string, VerdictCell[]> | null = null;
  private showing: ReturnType<typeof setTimeout> | undefined;
  /** What the program calls the thing being dragged or put in: verdicts that come later are for this name. */
  trying = newName('sheet');
  /** How often the last of a try has been told by event. */
  ended = 0;
  /** Called when all of what is tried is judged. */
  onJudged: () => void = () => undefined;
  looking = $state.raw<{ must: string; year: number } | null>(null);
  evidence = $state.raw<Evidence | null>(null);
  /** The answer to a question asked over the sheet; a rough one is followed by a finer. */
  asking = $state.raw<Asking | null>(null);
  answer = $state.raw<Answer | null>(null);
  months = $state.raw<{ year: number; months: MonthCell[] } | null>(null);
  stale = $state(false);
  /** What the last change made better or worse, once all is judged. */
  outcome = $state.raw<Turn[] | null>(null);
  private before: MustRow[] | null = null;
  private readonly own = new OwnEdits();
  /** How many times the garden was asked for, and which of these is shown. */
  private asked = 0;
  private shown = 0;
  private monthsAsked = 0;
  private sceneFor = '';
  /** The names of things that are being put in: the next thing has another, though the page has yet to be told of them. */
  private readonly coming = new Set<string>();
  private measured: { of: string; stakes: readonly NamedPoint[] } = { of: '', stakes: [] };
  private readonly given = new Map<string, GivenTo>();
  private readonly first = this.asker(false);
  private readonly finer = this.asker(true);

  constructor(readonly desk: Desk) {}

  /** The day it is at the garden (2028-07-01). */
  get today(): string {
    return this.garden?.today ?? today();
  }
  /** What tells the garden as it is shown from any other: a new day says other things of the same revision. */
  get stamp(): string {
    return `${this.garden?.revision ?? ''}/${this.today}`;
  }
  get writing(): Writing {
    return this.garden?.writing ?? this.state?.style ?? METRIC;
  }
  doc(id: string): FeatureDoc | null {
    return this.garden?.garden.features.find((f) => f.id === id) ?? null;
  }
  /** The things of a list of the garden that is not the features. */
  listed(part: string): Doc[] {
    return (this.garden?.garden[part] as Doc[] | undefined) ?? [];
  }
  making(id: string): { id: string; does: string[] }[] {
    const jobs = this.listed('jobs').map((job) => ({ id: String(job['id']), does: (job['does'] as string[] | undefined) ?? [] }));
    return jobs.filter(({ does }) => does.some((target) => target.split('/')[0] === id));
  }
  kindOf(id: string): Kind | null {
    const doc = this.doc(id);
    return this.kinds.find((k) => k.kind === doc?.kind) ?? null;
  }
  called(id: string): string {
    return this.garden?.called[id] ?? id;
  }
  freshId(kind: string): string {
    const taken = new Set([...(this.garden?.garden.features ?? []).map((f) => f.id), ...this.coming]);
    let n = 1;
    while (taken.has(`${kind}-${n}`)) n += 1;
    return `${kind}-${n}`;
  }

  async start(): Promise<void> {
    await this.loadState();
    if (this.state?.garden) await this.enter();
  }
  async loadState(): Promise<void> {
    this.state = await get<State>('/api/state');
  }

  /** Go into the garden that is open. */
  async enter(): Promise<void> {
    const from = this.desk.screen;
    const [kinds, mustKinds, walkers, parts] = await Promise.all([
      get<Kind[]>('/api/kinds'), get<MustKind[]>('/api/musts/kinds'), get<Walker[]>('/api/walkers'), get<Part[]>('/api/parts'),
    ]);
    this.parts = parts;
    this.kinds = kinds;
    this.mustKinds = mustKinds;
    this.walkers = walkers;
    this.chosen = [];
    this.look(null);
    this.months = null;
    this.own.forget();
    this.garden = await get<GardenReply>('/api/garden');
    this.shown = this.asked += 1;
    const { years } = this.garden;
    const opens = opensAt(years, inLeaf(this.garden.garden), dateOf(this.garden.today));
    if (this.byHand && years.includes(this.year)) this.month = inLeaf(this.garden.garden);
    else ({ year: this.year, month: this.month } = opens);
    await this.loadScene();
    // Whoever has gone somewhere else while it was read stays there.
    if (this.desk.screen === from) this.desk.screen = 'board';
    void this.loadTable();
    this.given.clear();
    this.loadQuestions();
  }
  private loadQuestions(): void {
    void get<QuestionName[]>('/api/questions').then((q) => (this.questions = q), () => undefined);
    void get<Walker[]>('/api/walkers').then((w) => (this.walkers = w), () => undefined);
  }

  async refresh(): Promise<void> {
    const nth = (this.asked += 1);
    const garden = await get<GardenReply>('/api/garden');
    // Answers may overtake each other; an older one must not bring back what has changed since.
    if (nth < this.shown) return;
    this.shown = nth;
    if (garden.head !== this.garden?.head) this.own.forget();
    this.garden = garden;
    const alive = new Set(garden.garden.features?.map((f) => f.id));
    if (this.chosen.some((id) => !alive.has(id))) this.chosen = this.chosen.filter((id) => alive.has(id));
    await this.loadScene();
    void this.loadTable();
    this.loadQuestions();
    if (this.months) void this.openMonths(this.months.year);
    if (this.looking) void this.look(this.looking);
  }

  async loadScene(): Promise<void> {
    const wanted = `${this.year}-${this.month}`;
    this.sceneFor = wanted;
    const scene = await get<Scene>('/api/scene', { year: this.year, month: this.month });
    if (this.sceneFor !== wanted) return;
    // What was measured in another garden, or before the readings were taken back, is not of this one.
    this.scene = withStakes(scene, this.measured.of === this.survey ? this.measured.stakes : []);
    void this.loadStakes();
    if (this.asking) this.ask(this.asking.name);
  }
  /** What tells a survey from another; '' while nothing is read. */
  private get survey(): string {
    const survey = this.garden?.garden['survey'] as Doc | undefined;
    return survey && (survey['readings'] as unknown[] | undefined)?.length ? JSON.stringify(survey) : '';
  }
  /** The stakes where they were measured: asked for once for each survey, after the sheet is drawn. */
  private async loadStakes(): Promise<void> {
    const of = this.survey;
    if (of === this.measured.of) return;
    this.measured = { of, stakes: [] };
    const stakes = of ? await get<NamedPoint[]>('/api/ground/stakes').catch(() => []) : [];
    if (this.measured.of !== of) return;
    this.measured = { of, stakes };
    if (this.scene) this.scene = withStakes(this.scene, stakes);
  }
  async loadTable(): Promise<void> {
    this.stale = true;
    try {
      this.table = await get<Table>('/api/table');
      this.untried();
      this.stale = this.table.stale;
      if (!this.stale && this.before) {
        this.outcome = turns(this.before, (id) => this.verdicts(id));
        this.before = null;
      }
    } catch (error) {
      this.desk.note(sentence(error), true);
    }
  }

  /** Show another year or month; the evidence that is drawn goes along to the year that is shown. */
  async show(year: number, month = this.month): Promise<void> {
    if (year === this.year && month === this.month) return;
    this.year = year;
    this.month = month;
    this.byHand = true;
    if (this.looking && this.looking.year !== year) void this.look({ must: this.looking.must, year });
    await this.try(() => this.loadScene());
  }

  /** Draw the evidence of one must in one year; null puts it away. */
  async look(at: { must: string; year: number } | null): Promise<void> {
    this.looking = at;
    if (!at) {
      this.evidence = null;
      return;
    }
    void this.show(at.year);
    await this.try(async () => {
      const evidence = await get<Evidence>('/api/evidence', { must: at.must, year: at.year });
      if (this.looking === at) this.evidence = evidence;
    });
  }

  /** Ask a question over the sheet, with what it was given before; null puts the answer away. */
  ask(name: string | null): void {
    if (name !== this.asking?.name) this.answer = null;
    this.finer.drop();
    if (name === null) {
      this.asking = null;
      this.first.drop();
      return;
    }
    this.asking = { name, given: this.given.get(name) ?? {}, year: this.year, month: this.month };
    this.first.put(this.asking);
  }
  /** Give the inputs of the question other values. */
  give(values: GivenTo): void {
    if (!this.asking) return;
    const { name, given } = this.asking;
    this.given.set(name, { ...given, ...values });
    this.ask(name);
  }
  private asker(fine: boolean): Latest<Asking, Answer> {
    return new Latest<Asking, Answer>(
      ({ name, given, year, month }) => get<Answer>('/api/question', { ...given, name, year, month, ...(fine ? { fine: 1 } : {}) }),
      (answer, asked) => {
        if (this.asking?.name !== asked.name || (fine && this.asking !== asked)) return;
        this.answer = answer;
        if (answer.rough && this.asking === asked) this.finer.put(asked);
      },
      (error) => this.desk.note(sentence(error), true),
    );
  }

  async openMonths(year: number | null): Promise<void> {
    const nth = (this.monthsAsked += 1);
    if (year === null) {
      this.months = null;
      return;
    }
    await this.try(async () => {
      const { months } = await get<{ months: MonthCell[] }>('/api/months', { year });
      if (nth === this.monthsAsked) this.months = { year, months };
    });
  }

  /** Make an edit on the revision that is shown; says so and shows the newest state when it clashed. */
  async commit(edit: Edit): Promise<boolean> {
    if (!this.garden || edit.ops.length === 0) return false;
    // What was seen while dragging stays until all is judged.
    this.release();
    this.outcome = this.table && this.fresh.size ? turns(this.table.musts, (id) => this.verdicts(id)) : null;
    // Changes that follow each other quickly are told together.
    if (this.table && !this.table.stale) this.before = this.table.musts;
    const put = edit.ops.flatMap((op) => (op.do === 'put' && op.part === 'features' && op.id ? [op.id] : []));
    for (const id of put) this.coming.add(id);
    try {
      const reply = await this.own.save(this.garden.revision, (base) => post<EditReply>('/api/edit', { base, edit }));
      if (reply.merged) this.desk.note('Another window changed this garden too; both changes are kept.');
      await this.refresh();
      return true;
    } catch (error) {
      this.desk.note(sentence(error), true);
      if (error instanceof Refusal && error.status === 409) await this.try(() => this.refresh());
      this.untried();
      return false;
    } finally {
      for (const id of put) this.coming.delete(id);
    }
  }

  undo(): Promise<void> {
    return this.swing('/api/undo', 'Taken back');
  }
  redo(): Promise<void> {
    return this.swing('/api/redo', 'Done again');
  }
  private async swing(path: string, words: string): Promise<void> {
    await this.try(async () => {
      const { label } = await post<{ label: string }>(path);
      this.own.forget();
      this.outcome = this.before = null;
      await this.refresh();
      this.desk.note(`${words}: ${label}`);
    });
  }

  /**
   * Take what is known so far of a try; once nothing of it is `left` to judge, that is all it touches, and is shown at
   * once.  What is not all yet is shown a moment later, if by then there is no more: marks don't flicker.
   */
  touched(verdicts: TouchedVerdicts[], left = 0, overtaken = false): void {
    const before = this.newest ?? this.fresh;
    const fresh = new Map(left ? before : []);
    for (const { id, verdicts: cells } of verdicts) fresh.set(id, freshened(cells, before.get(id), left, overtaken));
    this.newest = fresh;
    if (!left) this.release();
    else this.showing ??= setTimeout(() => this.release(), HOLD_MS);
  }
  /** Nothing is tried any more. */
  untried(): void {
    this.newest = new Map();
    this.release();
  }
  private release(): void {
    clearTimeout(this.showing);
    this.showing = undefined;
    if (this.newest) this.fresh = this.newest;
    this.newest = null;
  }
  verdicts(must: string): VerdictCell[] {
    return this.fresh.get(must) ?? this.table?.musts.find((m) => m.id === must)?.verdicts ?? [];
  }

  /** Take things out with all that can't be without them; if that is more than they themselves, ask first. */
  async remove(ids: readonly string[]): Promise<boolean> {
    let out = false;
    await this.try(async () => {
      const { edit, also } = await this.takingOut(ids);
      if (!also || (await this.desk.sure(also, 'Take it all out'))) out = await this.commit(edit);
    });
    return out;
  }
  takingOut(ids: readonly string[]): Promise<{ edit: Edit; also: string }> {
    return get<{ edit: Edit; also: string }>('/api/take-out', { ids: ids.join(',') });
  }

  async try(run: () => Promise<void>): Promise<boolean> {
    try {
      await run();
      return true;
    } catch (error) {
      this.desk.note(sentence(error), true);
      return false;
    }
  }
}
