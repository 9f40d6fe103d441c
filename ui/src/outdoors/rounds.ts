/** Which round of levels is being read on this phone, and what it is called. */
import { freshId, today } from '../lib/saturday/note';
import { keepWord, kept } from './kept';
import type { Leg } from './levelling';
import type { Pair, Tool } from './rising';

/** A set-up that is read again: in which book, from where to where, and the round that did not close. */
export interface Again { book: string; leg: Leg; round: string }

const againKey = (mark: string): string => `quincunx-round-again-${mark}`;
const keyOf = (mark: string): string => `quincunx-round-${mark}`;

/** The round that was begun on this phone last; nothing if none was. */
export function roundNow(mark: string): string {
  return kept(keyOf(mark));
}
/** Begin another round: by its day and four letters that tell it from those of other phones. */
export function newRound(mark: string): string {
  const name = roundName();
  keepWord(keyOf(mark), name);
  return name;
}

/** The set-up that is read again in this book, also after the page was closed in between; null where none is. */
export function againNow(mark: string, book: string): Again | null {
  try {
    const found = JSON.parse(kept(againKey(mark)) || 'null') as Again | null;
    return found?.book === book && found.leg.length === 2 ? found : null;
  } catch {
    return null;
  }
}
export function keepAgain(mark: string, found: Again | null): void {
  keepWord(againKey(mark), found ? JSON.stringify(found) : '');
}

/** A round by hose, string or board: what it is called, where it began, and by stake the set-ups of a leg from there that isn't ended yet. */
export interface Rising { round: string; start: string; pairs: Record<string, Pair[]> }
const risingKey = (mark: string, tool: Tool): string => `quincunx-rising-${mark}-${tool}`;

export function risingNow(mark: string, tool: Tool): Rising {
  try {
    const found = JSON.parse(kept(risingKey(mark, tool)) || 'null') as Rising | null;
    if (found && !Array.isArray(found.pairs)) return found;
  } catch {
    // another one is begun
  }
  return { round: '', start: '', pairs: {} };
}
export function keepRising(mark: string, tool: Tool, now: Rising): void {
  keepWord(risingKey(mark, tool), JSON.stringify(now));
}
export function roundName(): string {
  return `${today()}-${freshId().slice(1, 5)}`;
}
