/** What the hands have in common: the program draws what would be made, and making it is one edit. */
import type { Edit, Figure } from '../api/types';
import { askBuilt } from './built';
import { Gesture, NOTHING, type Bench, type Handed } from './gesture';

export abstract class Hand extends Gesture {
  protected handed: Handed | null = null;
  private asked = '';
  private done = false;
  private making = false;

  constructor(bench: Bench, protected readonly ids: readonly string[]) {
    super(bench);
  }
  /** Which of the program's hands it is. */
  protected abstract readonly hand: string;
  /** What the program is asked, or null while something is missing. */
  protected abstract body(): Record<string, unknown> | null;
  protected abstract speak(): void;
  protected guides(): Figure[] {
    return [];
  }
  /** Whether what is there changes, so that what is built is asked about. */
  protected changes(): boolean {
    return false;
  }

  override onEnter(): void {
    this.speak();
    this.think();
  }
  protected think(): void {
    const body = this.body();
    const key = JSON.stringify(body);
    if (!body) this.handed = null;
    else if (key !== this.asked) this.bench.hand(this.hand, body, key);
    this.asked = key;
    this.draw();
    this.speak();
  }
  private draw(): void {
    this.bench.show({ figures: [...(this.handed?.figures ?? []), ...this.guides()], hidden: new Set(this.handed?.owners ?? []), handles: [] });
  }
  override onHanded(handed: Handed, key: string): void {
    this.handed = handed;
    this.draw();
    this.speak();
    if (this.done && key === this.asked) this.make();
  }
  /** Make it as soon as the program has drawn just this. */
  protected finish(): void {
    this.done = true;
    if (this.handed && this.handed.key === this.asked) this.make();
  }
  override onComplete(): void {
    if (!this.body()) return this.bench.note(this.missing());
    this.finish();
    return undefined;
  }
  protected abstract missing(): string;

  private make(): void {
    if (this.making || !this.handed) return;
    this.making = true;
    const { edit } = this.handed;
    this.once(() => this.made(edit));
  }
  private async made(edit: Edit): Promise<void> {
    if (!this.changes() || (await askBuilt(this.bench, this.ids))) {
      const kept = await this.bench.commit(edit);
      const put = edit.ops.filter((op) => op.do === 'put' && op.part === 'features').map((op) => op.id ?? '');
      if (kept) this.bench.note('');
      return this.ended(kept ? put : []);
    }
    return this.ended();
  }
  /** The program can't do it: nothing is made until something else is asked. */
  override onRefused(): void {
    this.handed = null;
    this.done = false;
    this.draw();
    this.speak();
  }
  override onCancel(): void {
    this.bench.show({ ...NOTHING });
  }
}
