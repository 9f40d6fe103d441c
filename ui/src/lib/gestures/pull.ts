/** Pull one handle of a thing; a typed length sets how far it lies from the corner before it. */
import type { Doc, Handle, Preview, XY } from '../api/types';
import { bearing, distance, footOn, onGrid, step } from '../geometry/points';
import { openingOf, seatAlong, seatNear, type Seat } from '../snap/in-wall';
import { writeLength } from '../words/length';
import type { Typed } from '../words/typed';
import { Gesture, NOTHING, type Ask, type Bench, type Pointed } from './gesture';
import { askBuilt } from './built';

export class Pull extends Gesture {
  readonly name = 'pull';
  override readonly cursor = 'grabbing';
  private to: XY | null = null;
  private fields: { at: XY; fields: Doc } | null = null;
  private wanted: XY | null = null;
  private dropped = false;
  private lifted = false;
  private no = false;
  private readonly handle: Handle | undefined;
  private readonly others: Handle[];
  /** The opening whose middle is pulled, if it is one, and where in a wall it sits. */
  private readonly opening: ReturnType<typeof openingOf>;
  private seat: Seat | null = null;

  constructor(bench: Bench, private readonly id: string, private readonly handleId: string) {
    super(bench);
    const feature = bench.scene().features.find((f) => f.id === id);
    this.handle = feature?.handles.find((h) => h.id === handleId);
    this.others = feature?.handles.filter((h) => h.id !== handleId) ?? [];
    const opening = openingOf(bench, id);
    this.opening = opening && handleId === opening.kind.place.at ? opening : null;
    if (this.opening) this.seat = seatNear(bench, this.opening.at, this.opening.width_m, this.opening.deg);
  }

  /** The handle it is measured from: the one before it in the list, else the nearest other. */
  private get root(): XY | null {
    const all = this.bench.scene().features.find((f) => f.id === this.id)?.handles ?? [];
    const index = all.findIndex((h) => h.id === this.handleId);
    return (all[index - 1] ?? this.others[0])?.at ?? null;
  }

  override onEnter(): void {
    this.speak(this.handle?.at ?? null);
  }

  private speak(at: XY | null): void {
    const { root, seat } = this;
    if (seat && at) {
      const size = writeLength(distance(seat.ends[0], at), this.bench.writing());
      return this.bench.say({ words: 'Pull it along its wall or into another, or type how far along.', typing: 'pull', size });
    }
    const size = root && at ? writeLength(distance(root, at), this.bench.writing()) : '';
    this.bench.say({ words: `Pull the ${this.handle?.words ?? 'handle'}, or type its distance.`, typing: 'pull', size });
  }

  override onPointerMove(p: Pointed): void {
    if (!this.handle) return;
    const { opening } = this;
    if (opening) {
      this.seat = p.alt ? null : seatNear(this.bench, p.ground, opening.width_m, opening.deg);
      if (this.seat) return this.aim(this.seat.at, this.seat.words);
    }
    const rail = this.handle.along_deg === null || this.handle.along_deg === undefined ? undefined : { at: this.handle.at, deg: this.handle.along_deg };
    const snapped = this.bench.snap(p.ground, { from: this.root ?? undefined, without: new Set([this.id]), rail, off: p.alt });
    this.aim(snapped.at, snapped.words, snapped.guides);
  }

  private aim(at: XY, words: string, guides: [XY, XY][] = []): void {
    this.to = at;
    this.bench.show({ mark: { at, words }, guides });
    this.speak(at);
    this.bench.ask(this.asking(at));
  }

  /** What is asked of a place: an opening turns with the wall it comes into. */
  private asking(at: XY): Ask {
    const turn = this.seat && this.opening?.kind.place.turn;
    return { to: 'handle', id: this.id, handle: this.handleId, at, ...(turn ? { turn: { [turn]: Math.round(this.seat!.deg * 1000) / 1000 } } : {}) };
  }

  override onTyped(typed: Typed): string | null {
    const { root, handle, seat } = this;
    const far = typed.along_m ?? (typed.angle_deg === undefined ? typed.length_m : undefined);
    if (seat && far !== undefined) return this.along(seat, far);
    if (!handle || !root) return 'There is nothing to measure this from.';
    this.seat = null; // a bearing may lead out of the wall
    const angle = typed.angle_deg ?? bearing(root, this.to ?? handle.at);
    const length = typed.length_m ?? distance(root, this.to ?? handle.at);
    let at = onGrid(step(root, angle, length));
    if (handle.along_deg !== null && handle.along_deg !== undefined) at = onGrid(footOn(at, handle.at, handle.along_deg));
    this.aim(at, 'as typed');
    this.drop();
    return null;
  }

  private along(seat: Seat, far_m: number): string | null {
    const found = seatAlong(seat.ends, far_m, this.opening?.width_m ?? 0, this.bench.writing());
    if (typeof found === 'string') return found;
    this.aim(found, 'as typed');
    this.drop();
    return null;
  }

  override onPreview(preview: Preview, ask: Ask): void {
    this.no = false;
    if (ask.to === 'handle') this.fields = { at: ask.at, fields: preview.fields };
    this.bench.show({ figures: preview.figures, hidden: new Set(preview.owners ?? [this.id]), handles: preview.handles ?? [] });
    if (this.dropped) this.drop();
  }

  override onPointerUp(): void {
    this.lifted = true;
    if (this.no && this.to) this.bench.ask(this.asking(this.to));
    this.drop();
  }
  override onRefused(words: string): void {
    this.no = true;
    if (this.lifted) this.letGo(words);
  }
  override onComplete(): void {
    this.drop();
  }

  /** Keep it once the answer for the last place is there. */
  private drop(): void {
    this.dropped = true;
    if (!this.to) return void this.bench.rest();
    if (!this.fields || this.fields.at !== this.to || this.wanted === this.to) return;
    this.wanted = this.to;
    const { fields } = this.fields;
    this.once(() => this.keep(fields));
  }
  private async keep(fields: Doc): Promise<void> {
    if (await askBuilt(this.bench, [this.id])) {
      const called = this.bench.scene().features.find((f) => f.id === this.id)?.called ?? this.id;
      await this.bench.commit({ label: `Change ${called}`, ops: [{ do: 'change', part: 'features', id: this.id, value: fields }] });
    }
    this.ended();
  }

  override onCancel(): void {
    this.bench.show({ ...NOTHING });
  }
}
