/** A thing weighed up against other ways of having it, and what keeps what is built. */
import type { Doc } from './types';

export interface Weighed { revision: number; of: string; name: string; head: string[]; rows: string[][]; chosen: boolean[]; notes: string[]; caution: string }
export interface UpkeepRow {
  id: string; year: number; words: string; names: string[]; money: string; missing: string; hours: string; in_plan: boolean; taken: boolean; label: string; ops: Doc[];
}
export interface Upkeep { revision: number; rows: UpkeepRow[]; yearly: string[]; old: string[]; label: string; ops: Doc[]; note: string; caution: string }
