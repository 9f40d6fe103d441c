/** Draw a box: all that lies wholly inside is chosen. */
import type { XY } from '../api/types';
import { boundsOf } from '../geometry/shapes';
import { within } from '../sheet/hit';
import { Gesture, type Pointed } from './gesture';

export class Band extends Gesture {
  readonly name = 'band';
  private from: XY | null = null;

  override onEnter(): void {
    this.bench.say({ words: 'Draw a box round what you mean.', typing: '' });
  }
  override onPointerDown(p: Pointed): void {
    this.from = p.ground;
  }
  override onPointerMove(p: Pointed): void {
    if (this.from) this.bench.show({ band: [this.from, p.ground] });
  }
  override onPointerUp(p: Pointed): void {
    if (this.from) {
      const found = within(this.bench.scene(), boundsOf([this.from, p.ground])).map((f) => f.id);
      this.bench.select([...new Set([...this.bench.selected(), ...found])]);
    }
    this.bench.rest();
  }
  override onCancel(): void {
    this.from = null;
  }
}
