/** Between what a field holds and what stands in its box. */
import { metresOf } from '../api/client';
import type { FieldSpec, Json, Writing } from '../api/types';
import { readLength, readNumber, writeLength } from './length';
import { measured, readMeasure, writeMeasure } from './measure';
import { writeMoneyInFull, writeYearMonth } from './sums';

export type FieldRead = { ok: true; value: Json } | { ok: false; why: string };

export function toTyped(field: FieldSpec, value: Json, writing: Writing): string {
  if (value === null || value === undefined) return '';
  if (field.type === 'length') {
    if (typeof value === 'object' && !Array.isArray(value) && typeof value['typed'] === 'string') return value['typed'];
    const metres = metresOf(value);
    return metres === null ? String(value) : writeLength(metres, writing, !coarse(metres));
  }
  if (field.unit === 'money' && typeof value === 'number') return String(value / (writing.minor ?? 100)).replace('.', writing.decimal_mark);
  if (typeof value === 'number' && field.type === 'number' && field.unit === 'm') return writeLength(value, writing, !coarse(value));
  if (typeof value === 'number' && field.type === 'number' && field.unit && measured(field.unit)) return writeMeasure(value, field.unit, writing);
  if (field.type === 'year_month') return writeYearMonth(String(value));
  if (typeof value === 'number') return String(value).replace('.', writing.decimal_mark);
  return String(value);
}

/** What is explained of a field, its sizes as this person writes them: the program says them in each way of writing. */
export function helped(field: FieldSpec, writing: Writing): string {
  return field.help_in?.[writing.units + writing.decimal_mark] ?? field.help ?? '';
}

/** The unit of hours, as it may be written after their number. */
const HOURS = /(?<=\d)\s*(?:h|hrs?|hours?)\.?$/i;
const coarse = (metres: number): boolean => Math.abs(metres * 100 - Math.round(metres * 100)) < 1e-6;

/** A typed length goes to the program as it was typed: it reads it again and keeps the writing. */
export function fromTyped(field: FieldSpec, text: string, writing: Writing): FieldRead {
  const plain = text.trim();
  if (plain === '') return field.required ? { ok: false, why: `${field.words} can’t be empty.` } : { ok: true, value: field.type === 'text' ? '' : null };
  switch (field.type) {
    case 'length': {
      const read = readLength(plain, writing);
      if (!read.ok) return read;
      return within(field, read.metres, (m) => writeLength(m, writing)) ?? { ok: true, value: plain };
    }
    case 'number':
    case 'integer':
    case 'month': {
      const { unit } = field;
      if (field.type === 'number' && unit === 'm') {
        const read = readLength(plain, writing);
        return read.ok ? (within(field, read.metres, (m) => writeLength(m, writing)) ?? { ok: true, value: Math.round(read.metres * 1e4) / 1e4 }) : read;
      }
      if (field.type === 'number' && unit && measured(unit)) {
        const value = readMeasure(plain, unit, writing);
        if (typeof value === 'string') return { ok: false, why: value };
        return within(field, value, (v) => writeMeasure(v, unit, writing)) ?? { ok: true, value };
      }
      const number = readNumber(unit === 'h' ? plain.replace(HOURS, '') : plain.replace(/°$/, ''), writing);
      if (typeof number === 'string') return { ok: false, why: number };
      if (field.unit === 'money') {
        const minor = Math.round(number * (writing.minor ?? 100));
        return within(field, minor, (sum) => writeMoneyInFull(sum, writing)) ?? { ok: true, value: minor };
      }
      if (field.type === 'integer' && !Number.isInteger(number)) return { ok: false, why: `${field.words} is a whole number.` };
      return within(field, number, (n) => String(n).replace('.', writing.decimal_mark)) ?? { ok: true, value: number };
    }
    default:
      return { ok: true, value: plain };
  }
}

function within(field: FieldSpec, value: number, write: (value: number) => string): FieldRead | null {
  if (typeof field.min === 'number' && value < field.min) return { ok: false, why: `At least ${write(field.min)}.` };
  if (typeof field.max === 'number' && value > field.max) return { ok: false, why: `At most ${write(field.max)}.` };
  return null;
}
