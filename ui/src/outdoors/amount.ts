/** A plain amount as it is typed; undefined if it is none. */
import type { Writing } from '../lib/api/types';

export function amountOf(text: string, writing: Writing): number | undefined {
  const plain = text.trim().replace(/\s/g, '');
  const other = writing.decimal_mark === '.' ? ',' : '.';
  if (plain.includes(other)) return undefined;
  const value = Number(plain.replace(writing.decimal_mark, '.'));
  return plain && Number.isFinite(value) && value >= 0 ? value : undefined;
}
