/** Turn what is chosen about its middle; a typed angle is exact. */
import type { Doc, Preview, XY } from '../api/types';
import { bearing, norm, step } from '../geometry/points';
import { boundsOf, middle } from '../geometry/shapes';
import type { Typed } from '../words/typed';
import { askBuilt } from './built';
import { Gesture, NOTHING, type Ask, type Bench, type Pointed } from './gesture';
import { byId, changes } from './move';

const STEP_DEG = 15;

export class Turn extends Gesture {
  readonly name = 'turn';
  private readonly about: XY;
  private startDeg: number | null = null;
  private turn = 0;
  private answer: { turn: number; fields: Record<string, Doc>; preview: Preview } | null = null;
  private done = false;
  private lifted = false;
  private no = false;
  private dropping = false;

  constructor(bench: Bench, private readonly ids: readonly string[]) {
    super(bench);
    const rings = bench.scene().features.filter((f) => ids.includes(f.id)).flatMap((f) => f.outline.flat());
    this.about = middle(boundsOf(rings));
  }

  override onEnter(): void {
    this.speak();
    this.bench.show({ mark: { at: this.about, words: 'turns about here' } });
  }
  private speak(): void {
    const way = this.turn > 180 ? `${Math.round((360 - this.turn) * 10) / 10}° to the left` : `${Math.round(this.turn * 10) / 10}° to the right`;
    this.bench.say({ words: 'Turn it by pointing, or type an angle.', typing: 'turn', size: way });
  }

  override onPointerMove(p: Pointed): void {
    const now = bearing(this.about, p.ground);
    this.startDeg ??= now;
    let turn = norm(now - this.startDeg);
    const round = Math.round(turn / STEP_DEG) * STEP_DEG;
    const held = !p.alt && Math.abs(turn - round) < 3;
    if (held) turn = norm(round);
    this.aim(Math.round(turn * 10) / 10, held && round % 360 !== 0 ? `${round % 90 === 0 ? 'square' : 'in steps of 15°'}` : '');
  }
  private aim(turn: number, words: string): void {
    this.turn = turn;
    this.bench.show({ mark: { at: this.about, words }, guides: [[this.about, step(this.about, (this.startDeg ?? 0) + turn, this.bench.reach_m() * 8)]] });
    this.speak();
    this.bench.ask({ to: 'move', moves: this.ids.map((id) => ({ id, dx: 0, dy: 0, turn_deg: turn, about: this.about })) });
  }

  override onTyped(typed: Typed): string | null {
    const angle = typed.angle_deg ?? (typed.length_m === undefined ? undefined : typed.length_m);
    if (angle === undefined) return 'Type an angle, such as <45 or <-90.';
    this.done = true;
    this.aim(norm(angle), 'as typed');
    return null;
  }
  override onPreview(preview: Preview, ask: Ask): void {
    this.no = false;
    if (ask.to === 'move') this.answer = { turn: ask.moves[0]?.turn_deg ?? 0, fields: byId(preview, this.ids), preview };
    this.bench.show({ figures: preview.figures, hidden: new Set(preview.owners ?? this.ids), handles: [] });
    if (this.done) this.drop();
  }
  override onPointerUp(): void {
    this.done = this.lifted = true;
    if (this.no) this.aim(this.turn, '');
    this.drop();
  }
  override onRefused(words: string): void {
    this.no = true;
    if (this.lifted) this.letGo(words);
  }
  override onComplete(): void {
    this.done = true;
    this.drop();
  }
  private drop(): void {
    if (this.turn === 0) return void this.bench.rest();
    if (this.dropping || !this.answer || this.answer.turn !== this.turn) return;
    this.dropping = true;
    const { fields, preview } = this.answer;
    this.once(() => this.keep(fields, preview));
  }
  private async keep(fields: Record<string, Doc>, preview: Preview): Promise<void> {
    if (await askBuilt(this.bench, this.ids)) await this.bench.commit(changes(this.bench, this.ids, fields, 'Turn', preview));
    this.ended();
  }
  override onCancel(): void {
    this.bench.show({ ...NOTHING });
  }
}
