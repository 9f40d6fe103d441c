/** Months of the plan: counted from its first January, written as people write them. */
import { monthName, monthShort } from './sums';

export const yearOf = (first: number, month: number): number => first + Math.floor(month / 12);
export const writeMonth = (first: number, month: number): string => `${monthName((month % 12) + 1)} ${yearOf(first, month)}`;
export const writeMonthShort = (first: number, month: number): string => `${monthShort((month % 12) + 1)} ${yearOf(first, month)}`;
/** `2029-04`, as the garden's document holds a month. */
export const keepMonth = (first: number, month: number): string => `${yearOf(first, month)}-${String((month % 12) + 1).padStart(2, '0')}`;

/** A day as the program writes it (2028-07-01), as its midnight by this machine's clock. */
export function dateOf(day: string): Date {
  const [y, m, d] = day.split('-').map(Number);
  return new Date(y!, m! - 1, d!);
}

/** The month of the plan in which a day lies; the first or last if it lies outside. */
export function monthOfDay(first: number, months: number, day: Date): number {
  const month = (day.getFullYear() - first) * 12 + day.getMonth();
  return Math.min(Math.max(month, 0), months - 1);
}

/** Step a month by so many, within the plan and so that a job of this length ends in it. */
export function stepMonth(month: number, by: number, months: number, length: number): number {
  return Math.min(Math.max(month + by, 0), Math.max(months - length, 0));
}

/** Runs of neighbouring months as [first, one past the last]. */
export function runsOf(months: readonly number[]): [number, number][] {
  const runs: [number, number][] = [];
  for (const month of [...months].sort((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last && last[1] === month) last[1] = month + 1;
    else runs.push([month, month + 1]);
  }
  return runs;
}

/** The points of a stepped line through monthly values, in a box as many units wide as months and 100 high. */
export function stepped(values: readonly number[], low: number, high: number): string {
  const span = Math.max(high - low, 1);
  const y = (value: number): string => (100 - (100 * (value - low)) / span).toFixed(2);
  return values.map((value, i) => `${i},${y(value)} ${i + 1},${y(value)}`).join(' ');
}
