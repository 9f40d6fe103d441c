/** A dimension line of one's own: two points, which hold on to what is there, then how far beside them it is drawn. */
import type { Figure, XY } from '../api/types';
import { cross, distance, same, sub } from '../geometry/points';
import { writeLength } from '../words/length';
import type { Typed } from '../words/typed';
import { Hand } from './handed';
import type { Bench, Pointed } from './gesture';

export class Dimension extends Hand {
  readonly name = 'dimension';
  protected readonly hand = 'dimension';
  private ends: XY[] = [];
  private at: XY | null = null;
  private aside = 0.5;

  constructor(bench: Bench) {
    super(bench, []);
  }
  protected body(): Record<string, unknown> | null {
    const [start, end] = this.ends;
    return start && end ? { start, end, aside_m: this.aside } : null;
  }
  protected missing(): string {
    return 'Point at both ends first.';
  }
  protected speak(): void {
    const [start, end] = this.ends;
    const words = !start ? 'Dimension line: its first end.' : !end ? 'Dimension line: its other end.' : 'Dimension line: how far beside? Point, or type a distance.';
    const to = end ?? this.at;
    const far = start && to ? writeLength(distance(start, to), this.bench.writing()) : '';
    const size = [far, this.handed?.said].filter(Boolean).join('; ');
    const buttons = [
      ...(end ? [{ words: 'Draw it', key: 'Enter', run: () => this.onComplete() }] : []),
      ...(start ? [{ words: 'One back', key: '⌫', run: () => void this.onBack() }] : []),
    ];
    this.bench.say({ words, typing: end ? 'length' : '', size, buttons });
  }
  override onPointerMove(p: Pointed): void {
    if (this.ends.length === 2) return this.drawAside(p.ground);
    const snapped = this.bench.snap(p.ground, { from: this.ends[0], off: p.alt });
    this.at = snapped.at;
    this.bench.show({ mark: { at: snapped.at, words: snapped.words }, guides: snapped.guides });
    this.think();
    return undefined;
  }
  private drawAside(p: XY): void {
    const [start, end] = this.ends as [XY, XY];
    const left = cross(sub(end, start), sub(p, start)) / distance(start, end);
    this.aside = Math.round(Math.max(-30, Math.min(30, left)) * 20) / 20;
    this.bench.show({ mark: null, guides: [] });
    this.think();
  }
  override onPointerUp(p: Pointed): void {
    this.onPointerMove(p);
    if (this.ends.length === 2) return this.finish();
    const at = this.at;
    if (!at || (this.ends[0] && same(this.ends[0], at))) return undefined;
    this.ends = [...this.ends, at];
    this.think();
    return undefined;
  }
  override onTyped(typed: Typed): string | null {
    if (this.ends.length < 2) return 'Point at both ends first.';
    if (typed.length_m === undefined) return 'Type how far beside the points it is drawn.';
    this.aside = Math.sign(this.aside || 1) * typed.length_m;
    this.think();
    this.finish();
    return null;
  }
  override onBack(): boolean {
    if (!this.ends.length) return false;
    this.ends = this.ends.slice(0, -1);
    this.think();
    return true;
  }
  override here(): XY | null {
    return this.ends.at(-1) ?? null;
  }
  protected override guides(): Figure[] {
    const [start] = this.ends;
    if (!start || this.ends.length === 2 || !this.at || same(start, this.at)) return [];
    return [{ t: 'dimension', start, end: this.at, value_m: distance(start, this.at), offset_m: 0, role: 'measure', owner: '' }];
  }
}
