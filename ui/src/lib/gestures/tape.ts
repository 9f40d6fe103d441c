/** The tape: lengths and bearings between points, and what they enclose. Nothing is kept. */
import { Corners } from './drawn';

export class Tape extends Corners {
  readonly name = 'tape';
  protected readonly closed = false;
  protected readonly least = 2;

  protected speakOf(next: string): string {
    return `Tape: ${next}.`;
  }
  override onComplete(): void {
    this.bench.rest();
  }
}
