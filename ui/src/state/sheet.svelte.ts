/** The big sheet: where the view is, which gesture runs, and what the gestures may use. */
import { post, sentence } from '../lib/api/client';
import { Latest } from '../lib/api/latest';
import type { Edit, Figure, Kind, Preview, Scene, SnapEdge, Writing, XY, Bounds } from '../lib/api/types';
import { Drawn } from '../lib/gestures/drawn';
import { NOTHING, Runner, type Ask, type Bench, type Gesture, type Handed, type Live, type Pointed, type Said } from '../lib/gestures/gesture';
import { Placed } from '../lib/gestures/placed';
import { Resting } from '../lib/gestures/resting';
import { figureBounds, join, NOWHERE, real } from '../lib/geometry/shapes';
import { snap, type Aim, type Snapped } from '../lib/snap/snap';
import { fit, panBy, toScreen, view, zoomAbout, type Camera, type ScreenPoint } from '../lib/sheet/camera';
import { readTyped } from '../lib/words/typed';
import { newName, type Board } from './board.svelte';

const REACH_PX = 11;
interface HandAsk { name: string; body: Record<string, unknown>; key: string }

export class SheetState implements Bench {
  camera = $state.raw<Camera>({ at: [0, 0], scale: 20, wide: 0, high: 0 });
  live = $state.raw<Live>(NOTHING);
  said = $state.raw<Said>({ words: '', typing: '' });
  gestureName = $state('resting');
  cursor = $state('default');
  fault = $state('');
  /** A pointer moved by the keys, shown as a cross while a gesture runs. */
  cross = $state.raw<XY | null>(null);
  coarse = false;
  /** Where the pointer is over the ground, for the value under it. */
  hover = $state.raw<XY | null>(null);
  /** What has been typed so far in the line under the sheet; null while it has not the keys. */
  typing = $state.raw<{ text: string } | null>(null);
  /** Whether what is touched joins what is chosen: for fingers, which have no shift. */
  several = $state(false);
  /** Whether the words of what can be put in are shown. */
  choosing = $state(false);
  /** Bumped to bring the eye (and the keys) back to the sheet. */
  called = $state(0);
  readonly runner: Runner;
  private readonly latest: Latest<Ask, Preview>;
  private endedBefore = 0;
  private readonly hands = new Latest<HandAsk, Omit<Handed, 'key'>>(
    ({ name, body }) => post(`/api/hands/${name}`, { ...body, year: this.board.year, month: this.board.month }),
    (handed, { key }) => {
      this.fault = '';
      this.runner.current?.onHanded({ ...handed, key }, key);
    },
    (error) => {
      this.fault = sentence(error);
      this.runner.current?.onRefused(sentence(error));
    },
  );
  private lastKind: Kind | null = null;
  private fitted = 0;

  constructor(readonly board: Board) {
    this.runner = new Runner(() => new Resting(this), (gesture) => {
      this.gestureName = gesture.name;
      this.cursor = gesture.cursor;
      this.fault = '';
      if (gesture.name === 'resting') this.cross = null;
    });
    this.latest = new Latest((ask) => this.put(ask), (preview, ask, late) => this.took(preview, ask, late), (error) => {
      this.fault = sentence(error);
      this.runner.current?.onRefused(this.fault);
    });
    // All that is asked about is judged: the next place need not wait for the drawing of this one.
    this.board.onJudged = () => this.latest.past();
  }

  get busy(): boolean {
    return this.gestureName !== 'resting';
  }

  private put(ask: Ask): Promise<Preview> {
    const { year, month, trying: window, ended } = this.board;
    this.endedBefore = ended;
    if (ask.to === 'put') return post<Preview>('/api/preview', { year, month, window, feature: ask.feature });
    if (ask.to === 'handle') return post<Preview>('/api/drag', { year, month, window, id: ask.id, handle: ask.handle, to: ask.at, ...(ask.turn ? { turn: ask.turn } : {}) });
    const [only] = ask.moves;
    if (ask.moves.length === 1 && only) {
      const { id, ...move } = only;
      return post<Preview>('/api/drag', { year, month, window, id, move, copy: ask.copy ?? false });
    }
    return post<Preview>('/api/drag', { year, month, window, moves: ask.moves, copy: ask.copy ?? false });
  }
  /** Take what a place means; of one that comes `late` the verdicts have been told. */
  private took(preview: Preview, ask: Ask, late: boolean): void {
    this.fault = '';
    if (!late) this.board.touched(preview.verdicts, preview.left, this.board.ended !== this.endedBefore);
    this.runner.current?.onPreview(preview, ask);
  }

  scene(): Scene {
    const { scene } = this.board;
    if (!scene) throw new Error('no garden is shown');
    return scene;
  }
  writing(): Writing {
    return this.board.writing;
  }
  reach_m(): number {
    return (this.coarse ? REACH_PX * 2 : REACH_PX) / this.camera.scale;
  }
  edges(): readonly SnapEdge[] {
    return this.scene().snaps.edges;
  }
  snap(p: XY, aim: Partial<Aim> = {}): Snapped {
    return snap(p, this.scene().snaps, { reach_m: this.reach_m(), ...aim });
  }
  show(live: Partial<Live>): void {
    const { hidden } = this.live;
    // The same things hidden: the same set, or the garden below would be drawn anew at each move.
    const kept = live.hidden && live.hidden.size === hidden.size && [...live.hidden].every((id) => hidden.has(id));
    this.live = { ...this.live, ...live, ...(kept ? { hidden } : {}) };
  }
  say(said: Said): void {
    this.said = said;
  }
  ask(ask: Ask): void {
    this.latest.put(ask);
  }
  hand(name: string, body: Record<string, unknown>, key: string): void {
    this.hands.put({ name, body, key });
  }
  openPin(id: string): void {
    this.board.desk.margin = 'things';
    this.board.desk.opened = { part: 'pins', id };
  }
  field(name: string, value: string): boolean {
    this.fault = this.runner.current?.onField(name, value) ?? '';
    return this.fault === '';
  }
  async commit(edit: Edit): Promise<boolean> {
    this.drop();
    return this.board.commit(edit);
  }
  select(ids: readonly string[]): void {
    const before = this.board.chosen;
    this.board.chosen = ids.filter((id, i) => id && ids.indexOf(id) === i);
    const [only] = this.board.chosen;
    // The program may look at the garden without the thing before it is moved; nobody waits for it.
    if (only && this.board.chosen.length === 1 && before[0] !== only && this.board.doc(only)) {
      post('/api/expect', { year: this.board.year, month: this.board.month, id: only }).catch(() => undefined);
    }
    if (!this.busy) this.show({ mark: null });
  }
  selected(): readonly string[] {
    return this.board.chosen;
  }
  /** Choose no longer what was taken out; what was chosen while the program answered stays so. */
  chooseNoLonger(ids: readonly string[]): void {
    this.select(this.selected().filter((id) => !ids.includes(id)));
  }
  adding(): boolean {
    return this.several;
  }
  /** Choose no more things, and none. */
  chooseNone(): void {
    this.several = false;
    this.select([]);
  }
  built(ids: readonly string[]): readonly string[] {
    const built = new Set(this.board.garden?.built);
    return ids.filter((id) => built.has(id));
  }
  sure(question: string, yes: string): Promise<boolean> {
    return this.board.desk.sure(question, yes);
  }
  note(words: string): void {
    this.fault = words;
  }
  kinds(): readonly Kind[] {
    return this.board.kinds;
  }
  freshId(kind: string): string {
    return this.board.freshId(kind);
  }
  doc(id: string): Record<string, unknown> | null {
    return this.board.doc(id);
  }
  making(id: string): { id: string; does: string[] }[] {
    return this.board.making(id);
  }
  since(): string {
    return `${this.board.year}-${String(Math.min(this.board.month, 3)).padStart(2, '0')}`;
  }
  pan(dx: number, dy: number): void {
    this.camera = panBy(this.camera, dx, dy);
  }

  /** Forget what is being tried: what is still to come of it no longer counts. */
  private drop(): void {
    this.latest.drop();
    this.hands.drop();
    this.board.trying = newName('sheet');
  }

  start(gesture: Gesture): void {
    this.drop();
    this.board.desk.goOn();
    this.runner.start(gesture);
    this.called += 1;
  }
  rest(of?: Gesture): boolean {
    if (of && this.runner.current !== of) return false;
    this.drop();
    this.runner.rest();
    return true;
  }
  cancel(): void {
    this.drop();
    this.board.untried();
    this.runner.cancel();
  }

  /** Begin putting in a thing of a kind; `again` repeats the last one. */
  putIn(kind: Kind, also: Record<string, unknown> = {}): void {
    this.lastKind = kind;
    this.select([]);
    this.start(kind.placing === 'line' || kind.placing === 'outline' ? new Drawn(this, kind, also) : new Placed(this, kind, also));
  }
  again(): void {
    if (this.lastKind) this.putIn(this.lastKind);
  }

  typed(text: string): boolean {
    const read = readTyped(text, this.board.writing);
    this.fault = read.ok ? (this.runner.current?.onTyped(read.typed) ?? '') : read.why;
    if (this.fault === '') this.cross = null;
    return this.fault === '';
  }

  fitAll(): void {
    const { scene } = this.board;
    if (scene && this.camera.wide > 0) this.camera = fit(scene.bounds, this.camera.wide, this.camera.high, Math.min(52, this.camera.high * 0.09));
    this.fitted = this.camera.scale;
  }
  /** Whether the view is still the one that shows all. */
  get whole(): boolean {
    return this.camera.scale === this.fitted;
  }
  fitTo(bounds: Bounds): void {
    const seen = fit(bounds, this.camera.wide, this.camera.high, 70);
    this.camera = { ...seen, scale: Math.min(seen.scale, 90) };
  }
  zoom(factor: number, about?: ScreenPoint): void {
    this.camera = zoomAbout(this.camera, about ?? { px: this.camera.wide / 2, py: this.camera.high / 2 }, factor);
  }
  /** Bring what was drawn as evidence into view, unless it is there already. */
  look(figures: readonly Figure[]): void {
    const box = figures.reduce((sum, figure) => join(sum, figureBounds(figure)), NOWHERE);
    if (!real(box) || this.camera.wide === 0) return;
    const seen = view(this.camera);
    if (seen[0] <= box[0] && seen[1] <= box[1] && box[2] <= seen[2] && box[3] <= seen[3]) return;
    this.fitTo(this.board.scene ? join(box, this.board.scene.bounds) : box);
  }
  /** Bring a place into view and mark it. */
  goTo(at: XY, words: string): void {
    const s = toScreen(this.camera, at);
    const inside = s.px > 40 && s.py > 40 && s.px < this.camera.wide - 40 && s.py < this.camera.high - 40;
    if (!inside || this.camera.scale < 18) this.camera = { ...this.camera, at, scale: Math.max(this.camera.scale, 26) };
    this.show({ mark: { at, words } });
  }
  /** The pointer of the keys, in the middle of the view at first. */
  stepCross(dx: number, dy: number): void {
    const by = Math.hypot(dx, dy);
    const middle = this.camera.at.map((v) => Math.round(v / by) * by) as unknown as XY; // so that whole steps lead to round places
    const at: XY = this.cross ?? this.runner.current?.here() ?? middle;
    this.cross = [Math.round((at[0] + dx) * 1000) / 1000, Math.round((at[1] + dy) * 1000) / 1000];
    this.runner.current?.onPointerMove(this.crossPoint());
  }
  crossPoint(): Pointed {
    const ground = this.cross ?? this.camera.at;
    return { ground, screen: toScreen(this.camera, ground), shift: false, alt: false, touch: false, keys: true };
  }
}
