/** Cut a thing drawn along a line in two at a point of it; and join two that meet. */
import type { Edit, FeatureDoc, XY } from '../api/types';
import { distance, nearestOn, onGrid, same } from '../geometry/points';
import { alongLine, lineLength } from '../geometry/shapes';
import { writeLength } from '../words/length';
import type { Typed } from '../words/typed';
import { askBuilt } from './built';
import { Gesture, NOTHING, type Bench, type Pointed } from './gesture';

const END_M = 0.05;

/** The field that holds the line of a thing, if it is drawn along one. */
export function lineField(bench: Pick<Bench, 'kinds'>, doc: FeatureDoc | null): string | null {
  const kind = bench.kinds().find((k) => k.kind === doc?.kind);
  return kind?.placing === 'line' ? kind.place.points : null;
}

/** The two halves of a line cut at the point nearest to `p`. */
export function halves(line: readonly XY[], p: XY): { at: XY; along: number; first: XY[]; second: XY[] } | null {
  let best: { i: number; at: XY; away: number; along: number } | null = null;
  let before = 0;
  for (let i = 1; i < line.length; i += 1) {
    const [a, b] = [line[i - 1]!, line[i]!];
    const { at, away } = nearestOn(p, a, b);
    if (!best || away < best.away) best = { i, at, away, along: before + distance(a, at) };
    before += distance(a, b);
  }
  if (!best) return null;
  const at = onGrid(best.at);
  const first = [...line.slice(0, best.i).filter((q) => !same(q, at, END_M)), at];
  const second = [at, ...line.slice(best.i).filter((q) => !same(q, at, END_M))];
  return first.length < 2 || second.length < 2 ? null : { at, along: best.along, first, second };
}

/** One line of two that share an end, or null. */
export function joined(a: readonly XY[], b: readonly XY[], within = END_M): XY[] | null {
  const turns = [[a, b], [[...a].reverse(), b], [a, [...b].reverse()], [[...a].reverse(), [...b].reverse()]] as const;
  for (const [first, second] of turns) {
    if (!same(first.at(-1)!, second[0]!, within)) continue;
    const line = [...first, ...second.slice(1)];
    return line.filter((p, i) => i === 0 || i === line.length - 1 || nearestOn(p, line[i - 1]!, line[i + 1]!).away > 1e-4);
  }
  return null;
}

/** The edit that joins two chosen things of one kind, or a sentence that says why not. */
export function joinEdit(bench: Bench, ids: readonly string[]): Edit | string {
  const docs = ids.map((id) => bench.doc(id) as FeatureDoc | null);
  const [a, b] = docs;
  if (docs.length !== 2 || !a || !b) return 'Choose two things that meet.';
  const field = lineField(bench, a);
  if (!field || a.kind !== b.kind) return 'Only two things of one kind, drawn along lines, can be joined.';
  const line = joined(a[field] as unknown as XY[], b[field] as unknown as XY[]);
  if (!line) return 'Their ends don’t meet. Pull one end onto the other first.';
  return {
    label: `Join two of ${a.kind}`,
    ops: [{ do: 'change', part: 'features', id: a.id, value: { [field]: line as never } }, { do: 'remove', part: 'features', id: b.id }],
  };
}

export class Split extends Gesture {
  readonly name = 'split';
  private cut: ReturnType<typeof halves> = null;
  private readonly field: string | null;
  private readonly line: XY[];

  constructor(bench: Bench, private readonly id: string) {
    super(bench);
    const doc = bench.doc(id) as FeatureDoc | null;
    this.field = lineField(bench, doc);
    this.line = this.field ? (doc?.[this.field] as unknown as XY[]) : [];
  }
  override onEnter(): void {
    this.speak();
  }
  private speak(): void {
    const writing = this.bench.writing();
    const size = this.cut ? `${writeLength(this.cut.along, writing)} and ${writeLength(lineLength(this.line) - this.cut.along, writing)}` : '';
    this.bench.say({ words: 'Where is it cut? Point, or type the distance from its start.', typing: 'along', size });
  }
  override onPointerMove(p: Pointed): void {
    this.cut = halves(this.line, this.bench.snap(p.ground, { off: p.alt }).at);
    this.bench.show({ mark: this.cut ? { at: this.cut.at, words: 'cut here' } : { at: p.ground, words: 'too near its end' } });
    this.speak();
  }
  override onPointerUp(p: Pointed): void {
    this.onPointerMove(p);
    this.once(() => this.keep());
  }
  override onComplete(): void {
    this.once(() => this.keep());
  }
  override onTyped(typed: Typed): string | null {
    const along = typed.along_m ?? typed.length_m;
    if (along === undefined) return 'Type a distance from its start.';
    const at = alongLine(this.line, along)?.at;
    this.cut = at ? halves(this.line, at) : null;
    if (!this.cut) return `It is ${writeLength(lineLength(this.line), this.bench.writing())} long: type less than that.`;
    this.once(() => this.keep());
    return null;
  }
  private async keep(): Promise<void> {
    const doc = this.bench.doc(this.id) as FeatureDoc | null;
    const { cut, field } = this;
    if (!cut || !field || !doc) return;
    if (await askBuilt(this.bench, [this.id])) {
      const fresh = this.bench.freshId(doc.kind);
      const kept = await this.bench.commit({
        label: `Split ${this.bench.scene().features.find((f) => f.id === this.id)?.called ?? this.id}`,
        ops: [
          { do: 'change', part: 'features', id: this.id, value: { [field]: cut.first as never } },
          { do: 'put', part: 'features', id: fresh, value: { ...doc, id: fresh, [field]: cut.second as never } },
          // What makes the one makes both.
          ...this.bench.making(this.id).map(({ id, does }) => ({ do: 'change' as const, part: 'jobs', id, value: { does: [...does, ...does.filter((t) => t.split('/')[0] === this.id).map((t) => t.replace(this.id, fresh))] } })),
        ],
      });
      return this.ended(kept ? [this.id, fresh] : []);
    }
    return this.ended();
  }
  override onCancel(): void {
    this.bench.show({ ...NOTHING });
  }
}
