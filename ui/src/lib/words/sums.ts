/** Money, hours and dates as people read them. */
import type { Writing, YearHours } from '../api/types';

const SIGNS: Record<string, string> = { EUR: '€', GBP: '£', USD: '$' };

/** Write minor units as whole money, as the program writes it on paper: `£2,400`, `2.400 €`, `CHF 2,400`. */
export function writeMoney(minor: number, writing: Writing): string {
  return signed(Math.round(minor / (writing.minor ?? 100)), '', writing);
}
/** Write minor units with what is left over a whole, if anything is: `£35`, `£12.50`, `12,50 €`. */
export function writeMoneyInFull(minor: number, writing: Writing): string {
  const each = writing.minor ?? 100;
  const over = Math.abs(minor) % each;
  const part = over ? `${writing.decimal_mark}${String(over).padStart(String(each).length - 1, '0')}` : '';
  return signed(Math.trunc(minor / each), part, writing, minor < 0);
}
function signed(whole: number, part: string, writing: Writing, negative = whole < 0): string {
  const comma = writing.decimal_mark === ',';
  const digits = Math.abs(whole).toString().replace(/\B(?=(\d{3})+$)/g, comma ? '.' : ',') + part;
  const sign = writing.currency_sign ?? SIGNS[writing.currency] ?? writing.currency;
  const minus = negative ? '−' : '';
  if (comma) return `${minus}${digits}\u00a0${sign}`;
  return `${minus}${sign}${sign.length === 1 ? '' : '\u00a0'}${digits}`;
}

/** What others pay of a sum [minor units], where they pay so many in a hundred of it. */
export const othersPart = (sum: number, in100: number): number => Math.round((sum * in100) / 100);
export const writeHours = (hours: number): string => `${Math.round(hours)}\u00a0h`;

/** What is left of hours, told so that it agrees with the whole hours that stand beside it; below nothing: so many too many.
 * Rounding alone makes no hours too many, and hides none that are. */
export function sparedHours({ given, upkeep, worked, spare }: YearHours): number {
  const told = Math.round(given) - Math.round(upkeep) - Math.round(worked);
  return spare <= -0.5 ? Math.min(told, -1) : Math.max(told, 0);
}

export const MONTHS = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'] as const;
export const monthName = (month: number): string => MONTHS[month - 1] ?? '';
export const monthShort = (month: number): string => monthName(month).slice(0, 3);

/** `2029-10` as “October 2029”. */
export function writeYearMonth(text: string): string {
  const [, year, month] = /^(\d{4})-(\d{2})$/.exec(text) ?? [];
  return month ? `${monthName(Number(month))} ${year}` : text;
}
/** When something happened, short: the time today, else the day. */
export function writeWhen(iso: string, now = new Date()): string {
  const when = new Date(iso);
  if (Number.isNaN(when.getTime())) return iso;
  const time = `${String(when.getHours()).padStart(2, '0')}:${String(when.getMinutes()).padStart(2, '0')}`;
  if (when.toDateString() === now.toDateString()) return time;
  return `${when.getDate()} ${monthShort(when.getMonth() + 1)} ${when.getFullYear()}, ${time}`;
}
/** `2027-05-02` as 2 May 2027. */
export function writeDay(day: string): string {
  const [year, month, date] = day.split('-').map(Number);
  return month && date ? `${date} ${monthName(month)} ${year}` : day;
}
