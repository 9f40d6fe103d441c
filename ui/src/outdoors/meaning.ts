/** What a check that was taped means: as it should be, or by how much it is out and which tape would explain it. */
import type { Writing } from '../lib/api/types';
import { readLength, writeLength } from '../lib/words/length';
import type { FirstTape, Proof } from './types';

export interface Meaning { state: 'within' | 'unsure' | 'outside'; words: string; why: string[] }
/** What stands before it, so that colour is not the only sign. */
export const SIGN: Record<Meaning['state'], string> = { within: '✓', unsure: '~', outside: '✕' };
const INCH = 0.0254;
const MOST_M = 1.2;
const STEPS: [number, string][] = [[0.3048, 'a foot miscounted?'], [1, 'a metre miscounted?'], [0.1, 'ten centimetres miscounted?'], [INCH, 'an inch miscounted?']];

/** Write a small length as it is said: millimetres or centimetres, or inches to the eighth. */
export function small(metres: number, writing: Writing): string {
  const size = Math.abs(metres);
  if (writing.units === 'metric') {
    if (size < 0.0995) return `${Math.max(1, Math.round(size * 1000))} mm`;
    return size < 1 ? `${Math.round(size * 100)} cm` : `${size.toFixed(2).replace('.', writing.decimal_mark)} m`;
  }
  const eighths = Math.max(1, Math.round((size / INCH) * 8));
  const feet = Math.floor(eighths / 96);
  const whole = Math.floor((eighths % 96) / 8);
  let [over, below] = [eighths % 8, 8];
  while (over && over % 2 === 0) [over, below] = [over / 2, below / 2];
  const inches = [whole || (!over && !feet) ? String(whole) : '', over ? `${over}/${below}` : ''].filter(Boolean).join(' ');
  return [feet ? `${feet}'` : '', inches ? `${inches}"` : ''].filter(Boolean).join(' ');
}

/** Hold what was taped against what must be read. */
export function meaning(proof: Proof, measured: number, writing: Writing, between: string): Meaning {
  const off = measured - proof.m;
  const slack = Math.abs(off) - proof.within_m;
  const hand = off > 0 ? 'long' : 'short';
  const much = small(off, writing);
  // A tape is read to a millimetre or an eighth of an inch: what lies nearer than half of that reads the same.
  if (Math.abs(off) < (writing.units === 'feet' ? INCH / 16 + 1e-6 : 0.0005)) return { state: 'within', words: 'Just as it should be.', why: [] };
  const { wants } = proof;
  if (slack <= 0 && wants && Math.abs(off) > Math.max(wants.m, proof.tape_m)) {
    const words = `${much} too ${hand}: long tapes from far stakes can leave that much, but what is built wants ${wants.text}. Shift one of the two until this and its other checks read true.`;
    return { state: 'unsure', words, why: [] };
  }
  if (slack <= 0) return { state: 'within', words: `${much} ${hand}: within the ${proof.within} that careful tapes leave. Carry on.`, why: [] };
  const words = `${much} too ${hand}; careful tapes leave no more than ${proof.within}.`;
  if (slack <= proof.tape_m) return { state: 'unsure', words: `${words} Tape ${between} once more.`, why: [] };
  const why = causes(proof, off, writing);
  const then = why.length ? 'look at these.' : 'a point stands off: shift it until its ties read true, or leave it and let the board draw the plan as built.';
  return { state: 'outside', words: `${words} A point is out, or a tape was misread. Tape ${between} once more; if it reads the same, ${then}`, why };
}

/** What a first tape of the ground means, as it was typed; nothing where nothing was. */
export function firstMeans(t: FirstTape, text: string, writing: Writing): { good: boolean; words: string } | null {
  const found = text ? readLength(text, writing) : null;
  if (!found?.ok) return null;
  const off = found.metres - t.m;
  if (Math.abs(off) <= t.within_m) return { good: true, words: `Read ${text}: it agrees.` };
  return { good: false, words: `Read ${text}: ${writeLength(Math.abs(off), writing)} too ${off > 0 ? 'long' : 'short'}. Tape it once more; if it stays so, tape the sides again before anything is bought or dug.` };
}

/** Name the tapes that could explain it alone, those whose slip is a usual one first, then the smallest. */
function causes(proof: Proof, off: number, writing: Writing): string[] {
  const rows = proof.causes.map((c) => ({ ...c, slip: off / c.share })).filter((c) => Math.abs(c.slip) <= MOST_M);
  const usual = (slip: number): string => STEPS.find(([step]) => Math.abs(Math.abs(slip) - step) <= Math.max(0.006, proof.within_m / 3) && (step !== 1 && step !== 0.1 ? writing.units === 'feet' : writing.units === 'metric'))?.[1] ?? '';
  return rows
    .sort((a, b) => Number(!usual(a.slip)) - Number(!usual(b.slip)) || Math.abs(a.slip) - Math.abs(b.slip))
    .slice(0, 3)
    .map((c) => {
      const sign = usual(c.slip);
      return `${c.tape} would have to be ${small(c.slip, writing)} too ${c.slip > 0 ? 'long' : 'short'}${sign ? `: ${sign}` : ''}`;
    });
}
