/** Which round of levels is being read on this phone, and what it is called. */
import { freshId, today } from './carry.svelte';
import { keepWord, kept } from './kept';

const keyOf = (mark: string): string => `quincunx-round-${mark}`;

/** The round that was begun on this phone last; nothing if none was. */
export function roundNow(mark: string): string {
  return kept(keyOf(mark));
}
/** Begin another round: by its day and four letters that tell it from those of other phones. */
export function newRound(mark: string): string {
  const name = `${today()}-${freshId().slice(1, 5)}`;
  keepWord(keyOf(mark), name);
  return name;
}
