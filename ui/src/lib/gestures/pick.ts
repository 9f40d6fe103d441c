/** Touch the sheet to fill in a blank: a thing, a room, a spot or a point. */
import type { XY } from '../api/types';
import { distance } from '../geometry/points';
import { insideRing } from '../geometry/shapes';
import { under } from '../sheet/hit';
import { Gesture, NOTHING, type Bench, type Pointed } from './gesture';

export type Wanted = 'place' | 'room' | 'spot' | 'feature' | 'opening' | 'point';
export interface Picked { id: string; words: string; at: XY }

export class PickOne extends Gesture {
  readonly name = 'pick';
  private found: Picked | null = null;

  constructor(bench: Bench, private readonly wanted: Wanted, private readonly words: string, private readonly told: (picked: Picked | null) => void) {
    super(bench);
  }
  override onEnter(): void {
    this.bench.say({ words: this.words, typing: '' });
  }
  override onPointerMove(p: Pointed): void {
    this.found = this.find(p);
    this.bench.show({ mark: { at: this.found?.at ?? p.ground, words: this.found?.words ?? 'nothing here to choose' } });
  }
  private find(p: Pointed): Picked | null {
    const scene = this.bench.scene();
    const { wanted } = this;
    if (wanted === 'point') {
      const snapped = this.bench.snap(p.ground, { off: p.alt });
      return { id: '', words: snapped.words || 'here', at: snapped.at };
    }
    if (wanted === 'spot' || wanted === 'place') {
      const spot = scene.spots.map((s) => ({ s, away: distance(s.at, p.ground) })).sort((a, b) => a.away - b.away)[0];
      if (spot && spot.away < this.bench.reach_m() * 2) return { id: spot.s.id, words: spot.s.name, at: spot.s.at };
    }
    if (wanted === 'room' || wanted === 'place') {
      const room = scene.rooms.find((r) => (r.outline ? insideRing(p.ground, r.outline) : distance(r.inside, p.ground) < this.bench.reach_m() * 4));
      if (room) return { id: room.id, words: room.name, at: p.ground };
    }
    if (wanted === 'spot' || wanted === 'room') return null;
    const openings = new Set(this.bench.kinds().filter((k) => k.group === 'openings').map((k) => k.kind));
    const hit = under(scene, p.ground, this.bench.reach_m()).find((f) => wanted !== 'opening' || openings.has(f.kind));
    return hit ? { id: hit.id, words: hit.called, at: p.ground } : null;
  }
  override onPointerUp(p: Pointed): void {
    this.onPointerMove(p);
    if (!this.found) return this.bench.note('There is nothing here to choose.');
    this.bench.rest();
    this.told(this.found);
    return undefined;
  }
  override onCancel(): void {
    this.bench.show({ ...NOTHING });
    this.told(null);
  }
}
