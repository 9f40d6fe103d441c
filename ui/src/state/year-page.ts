/** Has the page of the year made once a garden was opened and judged, if one is due; that it was made is told once. */
import { get, post, sentence } from '../lib/api/client';
import type { YearPage } from '../lib/api/year-page';
import type { Board } from './board.svelte';

export async function makeIfDue(board: Board): Promise<void> {
  try {
    if (!(await get<YearPage>('/api/year-page')).due) return;
    const made = await post<YearPage>('/api/year-page');
    if (made.made) board.desk.yearPage = made;
  } catch (error) {
    board.desk.note(sentence(error), true);
  }
}
export async function wanted(board: Board, want: boolean): Promise<YearPage | null> {
  let found: YearPage | null = null;
  await board.try(async () => void (found = await post<YearPage>('/api/year-page/wanted', { wanted: want })));
  return found;
}
