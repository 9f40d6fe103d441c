/** Listens to what the program tells unasked: another window's edit, fresh verdicts, how far a long work is. */
import type { Board } from './board.svelte';

export function listen(board: Board): () => void {
  const source = new EventSource('/api/events');
  const on = (name: string, run: (data: Record<string, unknown>) => void): void => {
    source.addEventListener(name, (event) => {
      const text = (event as MessageEvent<string>).data;
      run(text ? (JSON.parse(text) as Record<string, unknown>) : {});
    });
  };
  on('revision', ({ revision }) => {
    if (board.garden && typeof revision === 'number' && revision > board.garden.revision) void board.try(() => board.refresh());
  });
  on('table', () => void board.loadTable());
  on('notice', ({ words }) => {
    if (typeof words === 'string') board.desk.note(words);
  });
  on('progress', ({ what, share }) => {
    const done = typeof share !== 'number' || share >= 1;
    board.desk.progress = done ? null : { what: String(what ?? ''), share };
  });
  return () => source.close();
}
