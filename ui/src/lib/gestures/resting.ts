/** Nothing under way: choose, pull a handle, move what is chosen, draw a band, or slide the sheet. */
import type { NamedPoint, XY } from '../api/types';
import { distance } from '../geometry/points';
import { handleAt, under } from '../sheet/hit';
import { Band } from './band';
import { Gesture, NOTHING, type Bench, type Pointed } from './gesture';
import { Move } from './move';
import { Pull } from './pull';

const STILL_PX = 4;
/** Middle of a note's leaf above the place it stands at, in reaches of the pointer. */
const LEAF = 1.2;

export class Resting extends Gesture {
  readonly name = 'resting';
  override readonly cursor = 'default';
  private down: { p: Pointed; on: string | null; handle: string | null } | null = null;
  private sliding = false;
  private depth = 0;
  private lastHit: XY | null = null;

  constructor(bench: Bench) {
    super(bench);
  }

  override onEnter(): void {
    this.bench.show({ ...NOTHING });
    this.bench.say({ words: '', typing: '' });
  }

  override onPointerDown(p: Pointed): void {
    const chosen = this.bench.selected();
    const reach = this.bench.reach_m();
    const handles = chosen.length === 1 ? (this.bench.scene().features.find((f) => f.id === chosen[0])?.handles ?? []) : [];
    const handle = handleAt(handles, p.ground, reach * 1.2);
    const hit = under(this.bench.scene(), p.ground, reach * 0.6);
    const on = hit.find((f) => chosen.includes(f.id))?.id ?? null;
    this.down = { p, on, handle: handle?.id ?? null };
    this.sliding = false;
  }

  override onPointerMove(p: Pointed): void {
    const { down } = this;
    if (!down) {
      this.hover(p);
      return;
    }
    const [dx, dy] = [p.screen.px - down.p.screen.px, p.screen.py - down.p.screen.py];
    if (!this.sliding && Math.hypot(dx, dy) < STILL_PX) return;
    const chosen = this.bench.selected();
    if (!this.sliding && down.handle && chosen[0]) this.hand(new Pull(this.bench, chosen[0], down.handle), down.p, p);
    else if (!this.sliding && down.on && !this.bench.adding()) this.hand(new Move(this.bench, chosen), down.p, p);
    else if (!this.sliding && down.p.shift) this.hand(new Band(this.bench), down.p, p);
    else {
      this.sliding = true;
      this.bench.pan(dx, dy);
      this.down = { ...down, p: { ...down.p, screen: p.screen } };
    }
  }

  private hand(gesture: Gesture, from: Pointed, to: Pointed): void {
    this.down = null;
    this.bench.start(gesture);
    gesture.onPointerDown(from);
    gesture.onPointerMove(to);
  }

  private hover(p: Pointed): void {
    const pin = p.touch ? null : this.pinAt(p);
    if (pin) return this.bench.show({ mark: { at: p.ground, words: `note: ${pin.name}` } });
    const first = under(this.bench.scene(), p.ground, this.bench.reach_m() * 0.6)[0];
    this.bench.show({ mark: first && !p.touch ? { at: p.ground, words: first.called } : null });
    return undefined;
  }

  /** A click chooses; a second click on the same spot chooses what lies beneath. */
  override onPointerUp(p: Pointed): void {
    const { down } = this;
    this.down = null;
    if (!down || this.sliding) return;
    const pin = this.pinAt(p);
    if (pin) return this.bench.openPin(pin.id);
    const hit = under(this.bench.scene(), p.ground, this.bench.reach_m() * (p.touch ? 1 : 0.6));
    const same = this.lastHit && Math.hypot(this.lastHit[0] - p.ground[0], this.lastHit[1] - p.ground[1]) < this.bench.reach_m() / 2;
    const adding = p.shift || this.bench.adding();
    this.depth = same && !adding ? (this.depth + 1) % Math.max(1, hit.length) : 0;
    this.lastHit = p.ground;
    const id = hit[this.depth]?.id;
    const chosen = this.bench.selected();
    if (!id) this.bench.select(adding ? chosen : []);
    else if (adding) this.bench.select(chosen.includes(id) ? chosen.filter((c) => c !== id) : [...chosen, id]);
    else this.bench.select([id]);
    return undefined;
  }
  private pinAt(p: Pointed): NamedPoint | null {
    const reach = this.bench.reach_m() / (p.touch ? 2 : 1);
    return (this.bench.scene().pins ?? []).find((pin) => distance(p.ground, [pin.at[0], pin.at[1] + LEAF * reach]) < reach) ?? null;
  }
}
