/** Move what is chosen (or a copy of it), by pointing or by a typed length and bearing. */
import type { Doc, FeatureDoc, Json, Op, Preview, Shift, XY } from '../api/types';
import { bearing, distance, onGrid, step, sub, wind } from '../geometry/points';
import { awayFromRing, boundsOf, insideRing, middle } from '../geometry/shapes';
import { openingOf, seatNear, type Seat } from '../snap/in-wall';
import { evenGap } from '../snap/snap';
import { writeLength } from '../words/length';
import type { Typed } from '../words/typed';
import { askBuilt } from './built';
import { Gesture, NOTHING, type Ask, type Bench, type Pointed } from './gesture';

export class Move extends Gesture {
  readonly name: string;
  override readonly cursor = 'move';
  private from: XY | null = null;
  private to: XY | null = null;
  private heldOn: XY | null = null;
  private pressed: XY | null = null;
  private tapped = false;
  private moved: { ask: Ask; fields: Record<string, Doc>; preview: Preview } | null = null;
  private asked: Ask | null = null;
  private done = false;
  private lifted = false;
  private no = false;
  private dropping = false;
  private readonly middles: XY[];
  /** The one opening that is moved, if it is one: it goes along its wall or into another. */
  private readonly opening: ReturnType<typeof openingOf>;

  constructor(bench: Bench, private readonly ids: readonly string[], private readonly copying = false) {
    super(bench);
    this.name = copying ? 'copy' : 'move';
    const { features } = bench.scene();
    this.opening = ids.length === 1 ? openingOf(bench, ids[0]!) : null;
    this.middles = features.filter((f) => !ids.includes(f.id) && f.outline.length).map((f) => middle(boundsOf(f.outline.flat())));
  }

  private anchor(): XY {
    const rings = this.bench.scene().features.filter((f) => this.ids.includes(f.id)).flatMap((f) => f.outline.flat());
    return middle(boundsOf(rings));
  }

  override onEnter(): void {
    this.from = this.from ?? null;
    this.speak();
  }

  private speak(): void {
    const size = this.from && this.to ? `${writeLength(distance(this.from, this.to), this.bench.writing())} ${wind(bearing(this.from, this.to))}` : '';
    const along = !this.copying && this.moved?.preview.along_words ? ` · ${this.moved.preview.along_words} too` : '';
    const words = this.copying ? 'Where does the copy go?' : 'Where does it go?';
    this.bench.say({ words: this.tapped && !this.to ? `Held there. ${words}` : words, typing: 'move', size: size + along });
  }

  override onPointerDown(p: Pointed): void {
    this.pressed = p.ground;
    if (this.from) return;
    const near = this.nearestCorner(p.ground);
    this.from = near ?? p.ground;
    this.heldOn = sub(this.from, p.ground);
  }

  /** Held by its nearest corner, so that corners meet corners. */
  private nearestCorner(p: XY): XY | null {
    let best: XY | null = null;
    let least = this.bench.reach_m() * 1.5;
    for (const [x, y, , owner] of this.bench.scene().snaps.points) {
      if (!this.ids.includes(owner)) continue;
      const away = distance([x, y], p);
      if (away < least) [best, least] = [[x, y], away];
    }
    return best;
  }

  /** Whether a place lies on what is moved. */
  private lies(p: XY): boolean {
    const rings = this.bench.scene().features.filter((f) => this.ids.includes(f.id)).flatMap((f) => f.outline);
    return rings.some((ring) => insideRing(p, ring) || awayFromRing(p, ring) < this.bench.reach_m());
  }
  /** A finger rarely holds quite still: so little is no pull yet. */
  private still(p: Pointed): boolean {
    return p.touch && !this.to && this.pressed !== null && distance(p.ground, this.pressed) < this.bench.reach_m() / 2;
  }

  override onPointerMove(p: Pointed): void {
    if (this.still(p)) return;
    this.follow(p);
  }
  private follow(p: Pointed): void {
    if (!this.from) {
      this.from = this.anchor();
      this.heldOn = [0, 0];
    }
    const at: XY = [p.ground[0] + (this.heldOn?.[0] ?? 0), p.ground[1] + (this.heldOn?.[1] ?? 0)];
    const { opening } = this;
    const by = sub(at, this.from);
    const seat = opening && !p.alt ? seatNear(this.bench, [opening.at[0] + by[0], opening.at[1] + by[1]], opening.width_m, opening.deg) : null;
    if (opening && seat) return this.sit(opening, seat);
    const without = this.copying ? undefined : new Set(this.ids);
    let snapped = this.bench.snap(at, { from: this.from, without, off: p.alt });
    if (!snapped.words && !p.alt) snapped = evenGap(at, this.middles, this.bench.reach_m() * 0.7) ?? snapped;
    this.aim(snapped.at, snapped.words, snapped.guides);
  }

  private aim(to: XY, words: string, guides: [XY, XY][] = []): void {
    if (!this.from) return;
    this.to = to;
    this.bench.show({ mark: { at: to, words }, guides: [...guides, [this.from, to]] });
    this.speak();
    const [dx, dy] = sub(to, this.from);
    this.want({ dx, dy, turn_deg: 0, about: this.from });
  }

  /** Into a wall, turned with it about its own middle. */
  private sit(opening: { at: XY; deg: number }, seat: Seat): void {
    const [dx, dy] = sub(seat.at, opening.at);
    this.to = [this.from![0] + dx, this.from![1] + dy];
    this.bench.show({ mark: { at: seat.at, words: seat.words }, guides: [[opening.at, seat.at]] });
    this.speak();
    const turn = seat.deg - opening.deg;
    this.want({ dx, dy, turn_deg: Math.round((turn > 180 ? turn - 360 : turn < -180 ? turn + 360 : turn) * 1000) / 1000, about: opening.at });
  }

  private want(shift: Shift): void {
    this.asked = { to: 'move', moves: this.ids.map((id) => ({ id, ...shift })), ...(this.copying ? { copy: true } : {}) };
    this.bench.ask(this.asked);
  }

  override onTyped(typed: Typed): string | null {
    this.from ??= this.anchor();
    const angle = typed.angle_deg ?? (this.to && distance(this.from, this.to) > 1e-6 ? bearing(this.from, this.to) : null);
    if (typed.length_m === undefined || angle === null) return 'Type how far and which way, such as 1.2<90 or 1.2<NE.';
    this.done = true;
    this.aim(onGrid(step(this.from, angle, typed.length_m)), 'as typed');
    return null;
  }

  override onPreview(preview: Preview, ask: Ask): void {
    this.no = false;
    this.moved = { ask, fields: byId(preview, this.ids), preview };
    this.speak();
    this.bench.show({ figures: preview.figures, hidden: this.copying ? new Set() : new Set(preview.owners ?? this.ids), handles: [] });
    if (this.done) this.drop();
  }

  override onPointerUp(p: Pointed): void {
    if (!p.keys && (!this.to || p.touch) && !this.reached(p)) return;
    this.done = this.lifted = true;
    if (this.no && this.asked) this.bench.ask(this.asked);
    this.drop();
  }
  override onRefused(words: string): void {
    this.no = true;
    if (this.lifted) this.letGo(words);
  }
  /** A finger's press without a pull: on the thing it holds it there, any other says where it goes; false while it is only held. */
  private reached(p: Pointed): boolean {
    if (!this.to && !this.tapped) {
      this.tapped = this.lies(p.ground);
      this.heldOn = [0, 0];
      if (this.tapped) {
        this.speak();
        return false;
      }
      this.from = this.anchor();
    }
    this.follow(p);
    return true;
  }
  override onComplete(): void {
    if (!this.to) return void this.bench.rest();
    this.done = true;
    this.drop();
  }

  private drop(): void {
    if (this.dropping || !this.to || !this.moved || this.moved.ask !== this.asked) return;
    this.dropping = true;
    const { fields, preview } = this.moved;
    this.once(() => this.keep(fields, preview));
  }
  private async keep(fields: Record<string, Doc>, preview: Preview): Promise<void> {
    let made: string[] = [];
    if (this.copying || (await askBuilt(this.bench, this.ids))) {
      const edit = this.copying ? copies(this.bench, this.ids, fields) : changes(this.bench, this.ids, fields, 'Move', preview);
      const kept = await this.bench.commit(edit);
      const along = this.copying ? '' : preview.along_words;
      if (kept && along) this.bench.note(`${along} went along.`);
      if (kept && this.copying) made = edit.ops.map((op) => op.id ?? '');
    }
    this.ended(made);
  }

  override onCancel(): void {
    this.bench.show({ ...NOTHING });
  }
}

/** The program answers for one thing with its fields, for several with fields by id. */
export function byId(preview: Preview, ids: readonly string[]): Record<string, Doc> {
  const [only] = ids;
  const all = preview.fields as Record<string, Json>;
  if (ids.length === 1 && only !== undefined && !(only in all)) return { [only]: preview.fields };
  return all as Record<string, Doc>;
}

export function nameOf(bench: Bench, ids: readonly string[]): string {
  if (ids.length > 1) return `${ids.length} things`;
  return bench.scene().features.find((f) => f.id === ids[0])?.called ?? ids[0] ?? '';
}

/** The edit that changes things, with what goes along with them. */
export function changes(bench: Bench, ids: readonly string[], fields: Record<string, Doc>, verb: string, preview?: Pick<Preview, 'along' | 'along_words'>): { label: string; ops: Op[] } {
  const ops = ids.filter((id) => fields[id]).map((id): Op => ({ do: 'change', part: 'features', id, value: fields[id]! }));
  const along = preview?.along?.length ? ` and with them ${preview.along_words ?? ''}` : '';
  return { label: `${verb} ${nameOf(bench, ids)}${along}`, ops: [...ops, ...(preview?.along ?? [])] };
}

export function copies(bench: Bench, ids: readonly string[], fields: Record<string, Doc>): { label: string; ops: Op[] } {
  const taken: string[] = [];
  const ops = ids.flatMap((id): Op[] => {
    const doc = bench.doc(id) as FeatureDoc | null;
    if (!doc) return [];
    let fresh = bench.freshId(doc.kind);
    while (taken.includes(fresh)) fresh = fresh.replace(/\d+$/, (n) => String(Number(n) + 1));
    taken.push(fresh);
    const value: FeatureDoc = { ...doc, ...fields[id], id: fresh, kind: doc.kind };
    if (typeof doc['name'] === 'string' && doc['name']) value['name'] = `${doc['name']} (copy)`;
    return [{ do: 'put', part: 'features', id: fresh, value }];
  });
  return { label: `Copy ${nameOf(bench, ids)}`, ops };
}
