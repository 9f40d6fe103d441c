/** Set copies of what is chosen out in squares, triangles or a quincunx: counts and distances typed, or by pointing. */
import type { XY } from '../api/types';
import { bearing, distance, norm, wind } from '../geometry/points';
import { boundsOf, middle } from '../geometry/shapes';
import { readLength, writeLength } from '../words/length';
import type { Typed } from '../words/typed';
import { Hand } from './handed';
import type { Bench, Field, Pointed } from './gesture';

const LAYOUTS: [string, string][] = [['square', 'squares'], ['triangular', 'triangles'], ['quincunx', 'quincunx']];
const MOST = 400;

export class SetOut extends Hand {
  readonly name = 'set-out';
  protected readonly hand = 'array';
  private layout = 'square';
  private across = 3;
  private rows = 1;
  private spacing: number;
  private apart: number | null = null;
  private deg = 90;
  private readonly from: XY;

  constructor(bench: Bench, ids: readonly string[]) {
    super(bench, ids);
    const things = bench.scene().features.filter((f) => ids.includes(f.id));
    const box = boundsOf(things.flatMap((f) => f.outline.flat()));
    const own = things.length === 1 ? things[0]!.handles.find((h) => h.words === 'middle' || things[0]!.handles.length === 1) : undefined;
    this.from = own?.at ?? middle(box);
    this.spacing = Math.max(0.5, Math.ceil((box[2] - box[0]) * 1.25 * 2) / 2);
  }
  protected body(): Record<string, unknown> {
    return { ids: this.ids, layout: this.layout, across: this.across, rows: this.rows, spacing_m: this.spacing, along_deg: this.deg, ...(this.apart === null ? {} : { apart_m: this.apart }) };
  }
  protected missing(): string {
    return '';
  }
  protected speak(): void {
    const writing = this.bench.writing();
    const fields: Field[] = [
      { name: 'layout', words: 'Pattern', value: this.layout, choices: LAYOUTS },
      { name: 'across', words: 'In a row', value: String(this.across) },
      { name: 'rows', words: 'Rows', value: String(this.rows) },
      { name: 'spacing', words: 'Apart', value: writeLength(this.spacing, writing) },
      { name: 'apart', words: 'Rows apart', value: this.apart === null ? '' : writeLength(this.apart, writing), empty: 'as drawn' },
      { name: 'deg', words: 'Rows run', value: String(Math.round(this.deg * 10) / 10), empty: '° from north' },
    ];
    const size = `${this.handed?.said ?? ''}; ${writeLength(this.spacing, writing)} apart towards ${wind(this.deg)} ${Math.round(this.deg * 10) / 10}°`;
    this.bench.say({ words: 'Set out: point at the next in the row, or type.', typing: 'length', size, fields, buttons: [{ words: 'Make them', key: 'Enter', run: () => this.onComplete() }] });
  }
  override onField(name: string, value: string): string | null {
    const writing = this.bench.writing();
    if (name === 'layout') this.layout = value;
    else if (name === 'across' || name === 'rows') {
      const count = Number(value);
      if (!Number.isInteger(count) || count < 1 || count > MOST) return `Write a whole number from 1 to ${MOST}.`;
      this[name] = count;
    } else if (name === 'deg') {
      const deg = Number(value.replace('°', '').replace(',', '.'));
      if (!Number.isFinite(deg)) return 'Write an angle from north, such as 90 for east.';
      this.deg = norm(deg);
    } else {
      if (name === 'apart' && !value.trim()) this.apart = null;
      else {
        const read = readLength(value, writing);
        if (!read.ok) return read.why;
        if (read.metres <= 0) return 'Write a distance above nothing.';
        if (name === 'spacing') this.spacing = read.metres;
        else this.apart = read.metres;
      }
    }
    this.think();
    return null;
  }
  override onPointerMove(p: Pointed): void {
    const snapped = this.bench.snap(p.ground, { from: this.from, without: new Set(this.ids), off: p.alt });
    if (distance(this.from, snapped.at) < this.bench.reach_m()) return;
    this.spacing = Math.round(distance(this.from, snapped.at) * 1000) / 1000;
    this.deg = Math.round(bearing(this.from, snapped.at) * 10) / 10;
    this.bench.show({ mark: { at: snapped.at, words: snapped.words }, guides: [...snapped.guides, [this.from, snapped.at]] });
    this.think();
  }
  override onPointerUp(p: Pointed): void {
    this.onPointerMove(p);
    this.finish();
  }
  override onTyped(typed: Typed): string | null {
    if (typed.along_m !== undefined) return 'Type the distance apart, such as 2.5 or 2.5<90; rows apart after an x: 2.5x3.';
    if (typed.length_m !== undefined) {
      if (typed.length_m <= 0) return 'Write a distance above nothing.';
      this.spacing = typed.length_m;
    }
    if (typed.second_m !== undefined) this.apart = typed.second_m;
    if (typed.angle_deg !== undefined) this.deg = norm(typed.relative ? this.deg + typed.angle_deg : typed.angle_deg);
    this.think();
    return null;
  }
  override here(): XY {
    return this.from;
  }
}
