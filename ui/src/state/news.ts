/** Listens to what the program tells unasked: another window's edit, fresh verdicts, how far a long work is. */
import type { TouchedVerdicts } from '../lib/api/types';
import type { Found } from '../lib/api/years';
import { readable } from '../lib/words/together';
import type { Board } from './board.svelte';
import type { Plan } from './plan.svelte';

export function listen(board: Board, plan: Plan): () => void {
  const source = new EventSource('/api/events');
  const on = (name: string, run: (data: Record<string, unknown>) => void): void => {
    source.addEventListener(name, (event) => {
      const text = (event as MessageEvent<string>).data;
      run(text ? readable(JSON.parse(text) as Record<string, unknown>) : {});
    });
  };
  on('revision', ({ revision }) => {
    if (board.garden && typeof revision === 'number' && revision > board.garden.revision) void board.try(() => board.refresh());
  });
  on('table', () => void board.loadTable());
  on('years', (found) => plan.take(found as unknown as Found));
  on('tried', ({ window, verdicts, left }) => {
    if (window !== board.trying && !(window === plan.window && plan.held)) return;
    if (!left) board.ended += 1;
    board.touched(verdicts as TouchedVerdicts[], Number(left ?? 0));
  });
  on('notice', ({ words }) => {
    if (typeof words === 'string') board.desk.note(words);
  });
  on('progress', ({ what, share }) => {
    const done = typeof share !== 'number' || share >= 1;
    board.desk.progress = done ? null : { what: String(what ?? ''), share };
  });
  return () => source.close();
}
