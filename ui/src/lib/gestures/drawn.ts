/** Draw corner after corner: a thing along a line, or inside an outline. */
import type { Figure, Kind, Preview, XY } from '../api/types';
import { bearing, distance, norm, onGrid, same, step } from '../geometry/points';
import { alongLine, lineLength, ringArea } from '../geometry/shapes';
import { sideWords, type Aim } from '../snap/snap';
import { writeArea, writeLength } from '../words/length';
import type { Typed } from '../words/typed';
import { Gesture, NOTHING, type Bench, type Pointed } from './gesture';

/** Corners pointed or typed one after another; what becomes of them is for those who extend it. */
export abstract class Corners extends Gesture {
  protected corners: XY[] = [];
  protected at: XY | null = null;
  protected edge: { owner: string; ends: [XY, XY] } | null = null;
  protected abstract readonly closed: boolean;
  /** Whether the last side led back to the first corner. */
  protected cameRound = false;
  protected abstract readonly least: number;
  protected readonly most: number = Infinity;

  protected aimOf(p: Pointed): Partial<Aim> {
    const last = this.corners.at(-1);
    const before = this.corners.at(-2);
    return { from: last, own: this.corners, side_deg: last && before ? bearing(before, last) : undefined, off: p.alt };
  }

  override onEnter(): void {
    this.speak();
  }

  protected abstract speakOf(next: string): string;
  protected speak(): void {
    const last = this.corners.at(-1);
    const writing = this.bench.writing();
    const next = !last ? 'the first point' : this.corners.length < this.least ? 'the next point' : 'the next point, or finish';
    let size = last && this.at && !same(last, this.at) ? `${writeLength(distance(last, this.at), writing)}, ${sideWords(last, this.at)}` : '';
    const ring = this.at && last && !same(last, this.at) ? [...this.corners, this.at] : this.corners;
    if (this.closed && ring.length > 2) size += `${size ? '; ' : ''}${writeArea(ringArea(ring), writing)}`;
    else if (!this.closed && ring.length > 2) size += `${size ? '; ' : ''}${writeLength(lineLength(ring), writing)} in all`;
    const buttons = [
      ...(this.corners.length >= this.least ? [{ words: 'Finish', key: 'Enter', run: () => this.onComplete() }] : []),
      ...(this.corners.length ? [{ words: 'One back', key: '⌫', run: () => void this.onBack() }] : []),
    ];
    this.bench.say({ words: this.speakOf(next), typing: last ? 'length' : 'start', size, buttons });
  }

  override onPointerMove(p: Pointed): void {
    const snapped = this.bench.snap(p.ground, this.aimOf(p));
    this.at = snapped.at;
    this.edge = snapped.edge ? { owner: snapped.edge.owner, ends: snapped.edge.ends } : null;
    this.bench.show({ mark: { at: snapped.at, words: snapped.words }, guides: snapped.guides, figures: this.figures() });
    this.speak();
    this.think();
  }

  override onPointerUp(p: Pointed): void {
    this.onPointerMove(p);
    if (this.at) this.put(this.at);
  }
  override onDouble(): void {
    this.onComplete();
  }

  protected put(at: XY): void {
    const first = this.corners[0];
    const last = this.corners.at(-1);
    if (last && same(last, at)) return this.corners.length >= this.least ? this.onComplete() : undefined;
    if (first && this.corners.length >= 3 && same(first, at)) {
      this.cameRound = true;
      return this.onComplete();
    }
    this.corners = [...this.corners, at];
    this.bench.show({ figures: this.figures() });
    this.speak();
    this.think();
    if (this.corners.length >= this.most) this.onComplete();
    return undefined;
  }

  override onTyped(typed: Typed): string | null {
    const last = this.corners.at(-1);
    if (typed.along_m !== undefined) return this.putAlong(typed.along_m);
    if (!last) return 'Point at the start first, or type @ and a distance along the edge under the pointer.';
    const before = this.corners.at(-2);
    const side = before ? bearing(before, last) : 0;
    let angle = typed.angle_deg;
    if (angle !== undefined && typed.relative) angle = norm(side + angle);
    angle ??= this.at && !same(this.at, last) ? bearing(last, this.at) : before ? side : undefined;
    if (angle === undefined) return `Point which way, or type an angle too, such as ${this.bench.writing().units === 'feet' ? '8' : `3${this.bench.writing().decimal_mark}4`}<90.`;
    const length = typed.length_m ?? (this.at ? distance(last, this.at) : 0);
    if (length <= 0) return 'A side needs a length above nothing.';
    const at = onGrid(step(last, angle, length));
    this.at = at;
    this.bench.show({ mark: { at, words: 'as typed' }, guides: [] });
    this.put(at);
    return null;
  }

  private putAlong(along: number): string | null {
    if (!this.edge) return 'Point near the edge to measure along, then type @ and the distance.';
    const found = alongLine(this.edge.ends, along);
    if (!found) return 'That edge is too short.';
    this.at = onGrid(found.at);
    this.put(this.at);
    return null;
  }

  override onBack(): boolean {
    if (this.corners.length === 0) return false;
    this.corners = this.corners.slice(0, -1);
    this.bench.show({ figures: this.figures() });
    this.speak();
    return true;
  }

  protected think(): void {}
  override here(): XY | null {
    return this.corners.at(-1) ?? null;
  }

  protected figures(): Figure[] {
    const ring = this.at ? [...this.corners, this.at] : this.corners;
    const out: Figure[] = [];
    if (ring.length > 1) out.push({ t: 'path', points: ring, role: 'datum', owner: '', weight: 'normal', closed: this.closed && ring.length > 2 });
    for (let i = 1; i < ring.length; i += 1) {
      out.push({ t: 'dimension', start: ring[i - 1]!, end: ring[i]!, value_m: distance(ring[i - 1]!, ring[i]!), offset_m: this.bench.reach_m() * 1.6, role: 'datum', owner: '' });
    }
    return out;
  }
  override onCancel(): void {
    this.bench.show({ ...NOTHING });
  }
}

/** Put in a thing of a kind that is drawn along a line or inside an outline. */
export class Drawn extends Corners {
  readonly name = 'drawn';
  protected readonly closed: boolean;
  protected readonly least: number;
  protected override readonly most: number;
  private preview: Figure[] = [];
  private hidden: ReadonlySet<string> = new Set();
  private readonly id: string;
  private asked = '';

  constructor(bench: Bench, private readonly kind: Kind, private readonly also: Record<string, unknown> = {}) {
    super(bench);
    this.closed = kind.placing === 'outline';
    this.least = kind.place.least ?? (this.closed ? 3 : 2);
    this.most = kind.place.most ?? Infinity;
    this.id = bench.freshId(kind.kind);
  }

  protected speakOf(next: string): string {
    return `${this.kind.words}: ${next}.`;
  }

  /** A line that comes back to its start keeps its last side: by the kind's own field for that, else by its first point again. */
  private feature(points: XY[]): Record<string, unknown> {
    const { place } = this.kind;
    const round = this.cameRound && !this.closed;
    const all = round && !place.closes ? [...points, points[0]!] : points;
    return {
      kind: this.kind.kind, id: this.id, ...(place.since ? { [place.since]: place.there ? 'start' : this.bench.since() } : {}), ...this.also,
      ...(round && place.closes ? { [place.closes]: true } : {}), [place.points ?? 'points']: all,
    };
  }

  protected override think(): void {
    const points = this.at && !same(this.at, this.corners.at(-1) ?? [NaN, NaN]) ? [...this.corners, this.at] : this.corners;
    if (points.length < this.least) {
      this.preview = [];
      return;
    }
    const key = JSON.stringify(points);
    if (key !== this.asked) this.bench.ask({ to: 'put', feature: this.feature(points) });
    this.asked = key;
  }

  override onPreview(preview: Preview): void {
    this.preview = preview.figures;
    this.hidden = new Set((preview.owners ?? []).filter((id) => id !== this.id));
    this.bench.show({ figures: this.figures(), hidden: this.hidden });
  }

  protected override figures(): Figure[] {
    return [...this.preview, ...super.figures()];
  }

  override onComplete(): void {
    if (this.corners.length < this.least) {
      this.bench.note(`A ${this.kind.words} needs ${this.least} points; there ${this.corners.length === 1 ? 'is 1' : `are ${this.corners.length}`}.`);
      return;
    }
    this.once(() => this.keep());
  }

  private async keep(): Promise<void> {
    const value = this.feature(this.corners) as never;
    const kept = await this.bench.commit({ label: `Put in ${this.kind.words}`, ops: [{ do: 'put', part: 'features', id: this.id, value }] });
    this.ended(kept ? [this.id] : []);
  }
}
