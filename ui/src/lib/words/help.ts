/** Sizes in what the program explains of a field, in the person's own units. */
import type { Writing } from '../api/types';
import { writeLength } from './length';

const METRES: Record<string, number> = { mm: 0.001, cm: 0.01, m: 1 };
const INCH = 0.0254;

/** Return words with their metric sizes as this person writes lengths: to the inch from 10 cm on, else to the half inch. */
export function ownSizes(words: string, writing: Writing): string {
  if (writing.units === 'metric') return writing.decimal_mark === '.' ? words : words.replace(/(\d)\.(\d+)(?= (?:mm|cm|m)\b)/g, '$1,$2');
  return words.replace(/(?<![\d.,×/-])(\d+(?:\.\d+)?) (mm|cm|m)\b(?![²³/])/g, (_, size: string, unit: string) => {
    const metres = Number(size) * METRES[unit]!;
    const step = metres >= 0.1 ? INCH : INCH / 2;
    return writeLength(Math.round(metres / step) * step, writing);
  });
}
