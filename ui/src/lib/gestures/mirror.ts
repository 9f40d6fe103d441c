/** Mirror what is chosen in a line through two points, or in an edge that is there. */
import type { Figure, XY } from '../api/types';
import { bearing, distance, onGrid, same, step } from '../geometry/points';
import { Hand } from './handed';
import type { Bench, Field, Pointed } from './gesture';
import type { Typed } from '../words/typed';

export class Mirror extends Hand {
  readonly name = 'mirror';
  protected readonly hand = 'mirror';
  private first: XY | null = null;
  private at: XY | null = null;
  private edge: readonly [XY, XY] | null = null;
  private keep = true;
  private byEdge = false;

  constructor(bench: Bench, ids: readonly string[]) {
    super(bench, ids);
  }
  private axis(): readonly [XY, XY] | null {
    if (this.byEdge) return this.edge;
    return this.first && this.at && !same(this.first, this.at) ? [this.first, this.at] : null;
  }
  protected body(): Record<string, unknown> | null {
    const axis = this.axis();
    return axis && { ids: this.ids, start: axis[0], end: axis[1], keep: this.keep };
  }
  protected override changes(): boolean {
    return !this.keep;
  }
  protected missing(): string {
    return this.byEdge ? 'Point at an edge first.' : 'Point at two places of the axis first.';
  }
  protected speak(): void {
    const words = this.byEdge ? 'Mirror: point at the edge that is the axis.' : this.first ? 'Mirror: a second point of the axis, or type its angle.' : 'Mirror: a point of the axis.';
    const fields: Field[] = [
      { name: 'axis', words: 'Axis', value: this.byEdge ? 'edge' : 'points', choices: [['points', 'through two points'], ['edge', 'an edge that is there']] },
      { name: 'keep', words: 'Make', value: this.keep ? 'copy' : 'turn', choices: [['copy', 'a mirrored copy'], ['turn', 'itself turned over']] },
    ];
    const buttons = this.axis() ? [{ words: 'Make it', key: 'Enter', run: () => this.onComplete() }] : [];
    this.bench.say({ words, typing: this.first && !this.byEdge ? 'turn' : '', size: this.handed?.said ?? '', fields, buttons });
  }
  override onField(name: string, value: string): string | null {
    if (name === 'axis') this.byEdge = value === 'edge';
    else this.keep = value === 'copy';
    this.think();
    return null;
  }
  override onPointerMove(p: Pointed): void {
    const snapped = this.bench.snap(p.ground, { from: this.byEdge ? undefined : (this.first ?? undefined), off: p.alt });
    this.at = snapped.at;
    if (this.byEdge) this.edge = snapped.edge?.ends ?? null;
    this.bench.show({ mark: { at: snapped.at, words: this.byEdge && !this.edge ? 'no edge here' : snapped.words }, guides: snapped.guides });
    this.think();
  }
  override onPointerUp(p: Pointed): void {
    this.onPointerMove(p);
    if (!this.byEdge && !this.first) {
      this.first = this.at;
      return this.think();
    }
    if (this.axis()) this.finish();
    return undefined;
  }
  override onTyped(typed: Typed): string | null {
    if (!this.first || typed.angle_deg === undefined) return this.first ? 'Type the angle of the axis, such as <90.' : 'Point at a place of the axis first.';
    this.at = onGrid(step(this.first, typed.angle_deg, 100));
    this.think();
    this.finish();
    return null;
  }
  override onBack(): boolean {
    if (!this.first) return false;
    this.first = null;
    this.think();
    return true;
  }
  override here(): XY | null {
    return this.first;
  }
  protected override guides(): Figure[] {
    const axis = this.axis();
    if (!axis) return [];
    const deg = bearing(axis[0], axis[1]);
    const far = Math.max(30, distance(axis[0], axis[1]));
    return [{ t: 'path', points: [step(axis[0], deg, -far), step(axis[1], deg, far)], role: 'evidence', owner: '', weight: 'thin', dash: true }];
  }
}
