/** Listens to what the program tells unasked: another window's edit, fresh verdicts, how far a long work is. */
import { isNewer, ownBuild } from '../lib/api/build';
import type { TouchedVerdicts } from '../lib/api/types';
import type { Found } from '../lib/api/years';
import { readable } from '../lib/words/together';
import type { Board } from './board.svelte';
import type { Plan } from './plan.svelte';

/** So long may the line be down before it is said: a short sleep of the machine needs no word [ms]. */
const AWAY_MS = 3000;

export function listen(board: Board, plan: Plan): () => void {
  const heard = new Map<string, (data: Record<string, unknown>) => void>();
  const on = (name: string, run: (data: Record<string, unknown>) => void): void => void heard.set(name, run);
  on('revision', ({ revision, day }) => {
    const { garden } = board;
    // On another day the same garden says other things: what is late, what comes soon, how begun work goes on.
    const anew = garden && ((typeof revision === 'number' && revision > garden.revision) || (typeof day === 'string' && day !== garden.today));
    if (anew) void board.try(() => board.refresh());
  });
  on('build', ({ script }) => (board.desk.renewed = isNewer(ownBuild(), script)));
  on('together', () => (board.saturday += 1));
  on('table', () => void board.loadTable());
  on('years', (found) => plan.take(found as unknown as Found));
  on('tried', ({ window, verdicts, left }) => {
    if (window !== board.trying && !(window === plan.window && plan.held)) return;
    if (!left) board.ended += 1;
    board.touched(verdicts as TouchedVerdicts[], Number(left ?? 0));
    if (!left && window === board.trying) board.onJudged();
  });
  on('notice', ({ words }) => {
    if (typeof words === 'string') board.desk.note(words);
  });
  on('progress', ({ what, share }) => {
    const done = typeof share !== 'number' || share >= 1;
    board.desk.progress = done ? null : { what: String(what ?? ''), share };
  });
  return kept(heard, board);
}

/** Keeps the line to the program open; says so while it is down, and looks again at the garden once it is up. */
function kept(heard: ReadonlyMap<string, (data: Record<string, unknown>) => void>, board: Board): () => void {
  let source: EventSource | undefined;
  let doubt: ReturnType<typeof setTimeout> | undefined;
  let again: ReturnType<typeof setTimeout> | undefined;
  function open(): void {
    source = new EventSource('/api/events');
    source.onopen = () => {
      clearTimeout(doubt);
      doubt = undefined;
      if (!board.desk.away) return;
      board.desk.away = false;
      void board.try(() => board.refresh());
    };
    source.onerror = () => {
      doubt ??= setTimeout(() => (board.desk.away = true), AWAY_MS);
      if (source?.readyState !== EventSource.CLOSED) return;
      clearTimeout(again);
      again = setTimeout(open, AWAY_MS);
    };
    for (const [name, run] of heard) {
      source.addEventListener(name, (event) => {
        const text = (event as MessageEvent<string>).data;
        run(text ? readable(JSON.parse(text) as Record<string, unknown>) : {});
      });
    }
  }
  open();
  return () => {
    clearTimeout(doubt);
    clearTimeout(again);
    source?.close();
  };
}
