/** What is shown of a must while something is dragged: verdicts come in the reply to a pull and in events after it. */
import type { VerdictCell } from './types';

/**
 * Take the cells just told. While some are `left`, what is still to be judged shows what was told before; a reply that is
 * `overtaken` by the event after it (they come on two connections) must not bring back what was left.
 */
export function freshened(cells: VerdictCell[], before: readonly VerdictCell[] | undefined, left: number, overtaken: boolean): VerdictCell[] {
  if (!left || !before) return cells;
  return cells.map((c, i) => {
    const last = before[i];
    return c.waiting && last?.year === c.year ? { ...last, waiting: !overtaken } : c;
  });
}
