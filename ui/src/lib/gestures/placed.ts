/** Put in a thing that stands at a point: where, then (when it has a front) which way and how large. */
import type { Figure, Kind, Preview, XY } from '../api/types';
import { bearing, distance, norm, wind } from '../geometry/points';
import { box } from '../geometry/shapes';
import { seatAlong, seatNear } from '../snap/in-wall';
import { writeLength } from '../words/length';
import type { Typed } from '../words/typed';
import { Gesture, NOTHING, type Bench, type Pointed } from './gesture';

const STEP_DEG = 15;

export class Placed extends Gesture {
  readonly name = 'placed';
  private at: XY | null = null;
  private fixed = false;
  private deg: number;
  private width: number | null;
  private depth: number | null;
  private preview: Figure[] = [];
  private readonly id: string;
  private asked = '';
  private wallEnds: [XY, XY] | null = null;

  constructor(bench: Bench, private readonly kind: Kind, private readonly also: Record<string, unknown> = {}) {
    super(bench);
    this.id = bench.freshId(kind.kind);
    const size = (name: string | null): number | null => {
      const value = name ? (also[name] ?? kind.fields.find((f) => f.name === name)?.default) : null;
      return typeof value === 'number' ? value : null;
    };
    this.width = size(kind.place.width);
    this.depth = size(kind.place.depth);
    this.deg = size(kind.place.turn) ?? (kind.place.turn_is === 'front' ? 180 : 0);
  }

  override onEnter(): void {
    this.speak();
  }

  private speak(): void {
    const { kind } = this;
    const writing = this.bench.writing();
    const where = kind.place.in_wall ? 'point at the wall, fence or hedge it stands in, or type @ and the distance along it' : 'where does it stand';
    const words = this.fixed ? `${kind.words}: which way does it face? Or type its size.` : `${kind.words}: ${where}.`;
    const sizes = [this.width, this.depth].filter((s): s is number => s !== null).map((s) => writeLength(s, writing));
    const facing = kind.place.turn_is === 'front' ? `, facing ${wind(this.deg)} ${Math.round(this.deg)}°` : '';
    const buttons = this.fixed ? [{ words: 'Finish', key: 'Enter', run: () => this.onComplete() }] : [];
    this.bench.say({ words, typing: 'size', size: sizes.join(' × ') + facing, buttons });
  }

  private feature(): Record<string, unknown> {
    const { place } = this.kind;
    return {
      kind: this.kind.kind, id: this.id,
      ...(place.since ? { [place.since]: place.there ? 'start' : this.bench.since() } : {}),
      ...this.also,
      [place.at ?? 'at']: this.at,
      ...(place.turn ? { [place.turn]: Math.round(norm(this.deg) * 1000) / 1000 } : {}),
      ...(place.width && this.width !== null ? { [place.width]: this.width } : {}),
      ...(place.depth && this.depth !== null ? { [place.depth]: this.depth } : {}),
    };
  }

  override onPointerMove(p: Pointed): void {
    if (this.fixed && this.at) return this.aimTurn(p);
    const wall = this.kind.place.in_wall && !p.alt ? seatNear(this.bench, p.ground, this.width ?? 0, this.deg) : null;
    if (this.kind.place.in_wall) this.wallEnds = wall?.ends ?? null;
    if (wall) {
      this.at = wall.at;
      this.deg = wall.deg;
      this.bench.show({ mark: { at: this.at, words: wall.words }, guides: [] });
    } else {
      const snapped = this.bench.snap(p.ground, { off: p.alt });
      this.at = snapped.at;
      if (snapped.edge && this.kind.place.turn_is === 'along') this.deg = snapped.edge.deg;
      this.bench.show({ mark: { at: snapped.at, words: snapped.words || (this.kind.place.in_wall ? 'no wall here' : '') }, guides: snapped.guides });
    }
    this.speak();
    this.think();
    return undefined;
  }

  private aimTurn(p: Pointed): void {
    if (!this.at || distance(this.at, p.ground) < this.bench.reach_m() * 0.5) return;
    let deg = bearing(this.at, p.ground);
    const round = Math.round(deg / STEP_DEG) * STEP_DEG;
    const held = !p.alt && Math.abs(deg - round) < 4;
    if (held) deg = round;
    this.deg = norm(Math.round(deg * 10) / 10);
    this.bench.show({ mark: { at: p.ground, words: `faces ${wind(this.deg)} ${Math.round(this.deg)}°` }, guides: [[this.at, p.ground]] });
    this.speak();
    this.think();
  }

  private think(): void {
    const feature = this.feature();
    const key = JSON.stringify(feature);
    if (key !== this.asked) this.bench.ask({ to: 'put', feature });
    this.asked = key;
    this.bench.show({ figures: this.figures() });
  }

  private figures(): Figure[] {
    if (!this.at || this.width === null) return this.preview;
    const depth = this.depth ?? 0.12;
    const front = this.kind.place.turn_is === 'along' ? this.deg + 90 : this.deg;
    return [...this.preview, { t: 'path', points: box(this.at, this.width, depth, front), closed: true, role: 'datum', owner: '', weight: 'thin' }];
  }

  override onPreview(preview: Preview): void {
    this.preview = preview.figures;
    this.bench.show({ figures: this.figures(), hidden: new Set((preview.owners ?? []).filter((id) => id !== this.id)) });
  }

  override onPointerUp(p: Pointed): void {
    this.onPointerMove(p);
    if (this.fixed || this.kind.place.turn_is !== 'front') return this.onComplete();
    this.fixed = true;
    this.speak();
    return undefined;
  }

  override onTyped(typed: Typed): string | null {
    if (typed.along_m !== undefined) {
      if (!this.wallEnds) return 'Point near a wall, fence or hedge first, then type @ and the distance along it.';
      const found = seatAlong(this.wallEnds, typed.along_m, this.width ?? 0, this.bench.writing());
      if (typeof found === 'string') return found;
      this.at = found;
      this.think();
      this.onComplete();
      return null;
    }
    if (typed.angle_deg !== undefined && this.kind.place.turn) this.deg = norm(typed.relative ? this.deg + typed.angle_deg : typed.angle_deg);
    if (typed.length_m !== undefined) {
      if (this.width === null) return `A ${this.kind.words} has no width to type here.`;
      this.width = typed.length_m;
    }
    if (typed.second_m !== undefined) this.depth = typed.second_m;
    this.speak();
    if (this.at) this.think();
    return null;
  }

  override onBack(): boolean {
    if (!this.fixed) return false;
    this.fixed = false;
    this.speak();
    return true;
  }

  override onComplete(): void {
    if (!this.at) return this.bench.note(`Point where the ${this.kind.words} goes first.`);
    this.once(() => this.keep());
    return undefined;
  }
  private async keep(): Promise<void> {
    const value = this.feature() as never;
    const kept = await this.bench.commit({ label: `Put in ${this.kind.words}`, ops: [{ do: 'put', part: 'features', id: this.id, value }] });
    this.ended(kept ? [this.id] : []);
  }
  override onCancel(): void {
    this.bench.show({ ...NOTHING });
  }
}
