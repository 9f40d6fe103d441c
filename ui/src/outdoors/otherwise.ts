/** What somebody else read of a line, beside what was read here: both count, and too far apart they are told with what to do. */
import type { Writing } from '../lib/api/types';
import type { Read } from './carry.svelte';
import { writeLength } from '../lib/words/length';
import { small } from './meaning';

/** `said` is for a voice: lengths have their unit. */
export interface Beside { good: boolean; words: string; said: string }
/** Two good tapes of one line are both out: by the root of two of what one may be. */
const TWO = Math.SQRT2;
const HALF_MM = 0.0005;

/** One sentence for each other reading of a line; `mine` is the last one here [m], `tape_m` what one careful tape may leave. */
export function beside(others: readonly Read[], mine: number | null, tape_m: number, writing: Writing, between: string): Beside[] {
  return others.map((o) => {
    const told = tell(o);
    return { ...told, said: told.words.replace(o.text, writeLength(o.m, writing, true)) };
  });
  function tell(o: Read): { good: boolean; words: string } {
    const lead = o.by ? `${o.by} read ${o.text}` : `It was read as ${o.text} before`;
    if (mine === null) return { good: true, words: `${lead}. Read it yourself too: two readings prove each other.` };
    const off = mine - o.m;
    if (Math.abs(off) < HALF_MM) return { good: true, words: o.by ? `${o.by} read the same.` : 'It was read the same before.' };
    if (Math.abs(off) <= TWO * tape_m) return { good: true, words: `${lead}: as near as two tapes come. Both count.` };
    const words = `${lead}, ${small(off, writing)} ${off > 0 ? 'shorter' : 'longer'}: two careful tapes leave no more than ${small(TWO * tape_m, writing)}. See that nothing was moved, then tape ${between} once more, together if you can. Both readings are kept.`;
    return { good: false, words };
  }
}
