/** The words for a mark, for those who hear the page. */
import type { Verdictal } from '../api/types';
export const MARK_WORDS: Record<Verdictal, string> = { holds: 'holds', fails: 'fails', unknown: 'can’t tell', not_due: 'not due yet' };
