/** A new thing along the line, the outline or one edge of what is chosen, a typed distance beside it. */
import type { FeatureDoc, XY } from '../api/types';
import { cross, nearestOn, sub } from '../geometry/points';
import { insideRing } from '../geometry/shapes';
import { writeLength } from '../words/length';
import type { Typed } from '../words/typed';
import { Hand } from './handed';
import type { Bench, Field, Pointed } from './gesture';

const DRAWN = ['line', 'outline'];

export class Beside extends Hand {
  readonly name = 'beside';
  protected readonly hand = 'beside';
  private readonly points: XY[];
  private readonly closed: boolean;
  private readonly wide: boolean;
  private aside = 0.5;
  private kind = '';
  private edge = 0;
  private allRound = true;
  private fromEdge = false;

  constructor(bench: Bench, private readonly id: string) {
    super(bench, [id]);
    const doc = bench.doc(id) as FeatureDoc | null;
    const kind = bench.kinds().find((k) => k.kind === doc?.kind);
    const field = kind?.place.points ?? '';
    this.points = ((doc?.[field] as unknown as XY[]) ?? []).map((p) => [Number(p[0]), Number(p[1])]);
    this.closed = kind?.placing === 'outline' || doc?.['closed'] === true;
    this.wide = !this.closed && Boolean(kind?.fields.some((f) => f.name === 'width' || f.name === 'thickness'));
  }
  protected body(): Record<string, unknown> {
    const one = this.closed && !this.allRound;
    return { id: this.id, aside_m: this.aside, from_edge: this.fromEdge, since: this.bench.since(), ...(this.kind ? { kind: this.kind } : {}), ...(one ? { edge: this.edge } : {}) };
  }
  protected missing(): string {
    return '';
  }
  protected speak(): void {
    const offered = this.bench.kinds().filter((k) => DRAWN.includes(k.placing) && (k.place.least ?? 2) <= 3 && k.place.most !== 2);
    const fields: Field[] = [
      { name: 'kind', words: 'Put in', value: this.kind, choices: [['', 'the same again'], ...offered.map((k): [string, string] => [k.kind, k.words])] },
      ...(this.closed ? [{ name: 'round', words: 'Along', value: this.allRound ? 'all' : 'one', choices: [['all', 'all round it'], ['one', 'the edge pointed at']] as [string, string][] }] : []),
      ...(this.wide ? [{ name: 'from', words: 'Measured', value: this.fromEdge ? 'edge' : 'line', choices: [['line', 'from its middle line'], ['edge', 'from its edge']] as [string, string][] }] : []),
    ];
    const side = this.closed ? (this.aside > 0 ? 'outside' : 'inside') : this.aside > 0 ? 'to its left' : 'to its right';
    const size = `${writeLength(Math.abs(this.aside), this.bench.writing())} ${side}`;
    const buttons = [{ words: 'Make it', key: 'Enter', run: () => this.onComplete() }, { words: 'Other side', key: '/', run: () => this.turn() }];
    this.bench.say({ words: 'Beside it: point how far and which side, or type the distance.', typing: 'length', size, fields, buttons });
  }
  private turn(): void {
    this.aside = -this.aside;
    this.think();
  }
  override onField(name: string, value: string): string | null {
    if (name === 'kind') this.kind = value;
    if (name === 'round') this.allRound = value === 'all';
    if (name === 'from') this.fromEdge = value === 'edge';
    this.think();
    return null;
  }
  override onPointerMove(p: Pointed): void {
    const { points } = this;
    const count = this.closed ? points.length : points.length - 1;
    let best = { away: Infinity, i: 0 };
    for (let i = 0; i < count; i += 1) {
      const { away } = nearestOn(p.ground, points[i]!, points[(i + 1) % points.length]!);
      if (away < best.away) best = { away, i };
    }
    this.edge = best.i;
    const [a, b] = [points[best.i]!, points[(best.i + 1) % points.length]!];
    const out = this.closed ? !insideRing(p.ground, points) : cross(sub(b, a), sub(p.ground, a)) > 0;
    const fine = p.alt ? 0.001 : 0.05;
    const far = Math.max(fine, Math.round(best.away / fine) * fine);
    this.aside = (out ? 1 : -1) * Math.round(far * 1000) / 1000;
    this.bench.show({ mark: { at: p.ground, words: writeLength(Math.abs(this.aside), this.bench.writing()) } });
    this.think();
  }
  override onPointerUp(p: Pointed): void {
    this.onPointerMove(p);
    this.finish();
  }
  override onTyped(typed: Typed): string | null {
    if (typed.length_m === undefined || typed.length_m === 0) return 'Type how far beside it, such as 0.6.';
    this.aside = Math.sign(this.aside || 1) * typed.length_m;
    this.think();
    this.finish();
    return null;
  }
  override here(): XY | null {
    const [a, b] = this.points;
    return a && b ? [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] : null;
  }
  /** Whether a thing has a line or outline to go along. */
  static fits(bench: Bench, id: string): boolean {
    const doc = bench.doc(id) as FeatureDoc | null;
    const kind = bench.kinds().find((k) => k.kind === doc?.kind);
    const field = kind?.place.points ?? null;
    return kind !== undefined && DRAWN.includes(kind.placing) && field !== null && Array.isArray(doc?.[field]);
  }
}
