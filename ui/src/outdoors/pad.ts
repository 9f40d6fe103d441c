/** The large keys a length is typed with outdoors, and what touching one makes of what is typed. */
import type { Writing } from '../lib/api/types';

export interface PadKey { key: string; words: string }
export const BACK = '⌫';

/** The keys in rows: digits, with the garden's decimal mark, or with feet, inches and the eighths a tape shows. */
export function padRows(writing: Writing): PadKey[][] {
  const digits = [['7', '8', '9'], ['4', '5', '6'], ['1', '2', '3']].map((row) => row.map((d) => ({ key: d, words: d })));
  const back = { key: BACK, words: 'Take the last one away' };
  if (writing.units === 'metric') return [...digits, [{ key: writing.decimal_mark, words: writing.decimal_mark === ',' ? 'Comma' : 'Point' }, { key: '0', words: '0' }, back]];
  const eighths = ['1/8', '1/4', '3/8', '1/2', '5/8', '3/4', '7/8'].map((f) => ({ key: f, words: f }));
  return [...digits, [{ key: '\'', words: 'Feet' }, { key: '0', words: '0' }, { key: '"', words: 'Inches' }], [...eighths.slice(0, 4)], [...eighths.slice(4), back]];
}

/** What is typed after a key: a fraction goes with whole inches before it, and brings its inch mark. */
export function after(typed: string, key: string): string {
  if (key === BACK) return takenBack(typed);
  if (key.includes('/')) {
    const plain = typed.replace(/"$/, '').replace(/\s*\d+\/\d+$/, '').trimEnd();
    return `${plain}${plain ? ' ' : ''}${key}"`;
  }
  if (/\d/.test(key) && /'$/.test(typed)) return `${typed} ${key}`;
  if (/^[.,]$/.test(key)) return typed.includes(key) ? typed : `${typed || '0'}${key}`;
  if (key === '\'' || key === '"') return !/\d$/.test(typed) || typed.includes(key) ? typed : `${typed}${key}`;
  return typed.endsWith('"') ? typed : `${typed}${key}`;
}
function takenBack(typed: string): string {
  return typed.replace(/(?:\s?\d+\/\d+"?|.)$/, '').trimEnd();
}
