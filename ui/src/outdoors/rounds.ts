/** Which round of levels is being read on this phone, and what it is called. */
import { freshId, today } from './carry.svelte';

const keyOf = (mark: string): string => `quincunx-round-${mark}`;

/** The round that was begun on this phone last; nothing if none was. */
export function roundNow(mark: string): string {
  try {
    return localStorage.getItem(keyOf(mark)) ?? '';
  } catch {
    return '';
  }
}
/** Begin another round: by its day and three letters that tell it from those of other phones. */
export function newRound(mark: string): string {
  const name = `${today()}-${freshId().slice(1, 5)}`;
  try {
    localStorage.setItem(keyOf(mark), name);
  } catch {
    // it does for this visit
  }
  return name;
}
