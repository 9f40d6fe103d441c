/** What the inputs of a question are given, as text. */
import type { Option, XY } from '../api/types';

const NEAR_M = 0.02;

/** A point touched, as the program reads it. */
export const placeText = (at: XY): string => `${at[0].toFixed(3)},${at[1].toFixed(3)}`;

/** The point that a place's text says; null where it is the id of an option without one. */
export function placeOf(text: string, options: readonly Option[]): XY | null {
  const named = options.find((o) => o.id === text);
  if (named) return named.at;
  const parts = text.split(',').map(Number);
  return parts.length === 2 && parts.every(Number.isFinite) ? [parts[0]!, parts[1]!] : null;
}

/** The option that lies at a point. */
export function optionAt(options: readonly Option[], at: XY): Option | undefined {
  return options.find((o) => o.at && Math.hypot(o.at[0] - at[0], o.at[1] - at[1]) < NEAR_M);
}

/** An hour of the day as 14:30. */
export function clockText(hour: number): string {
  const minutes = Math.round(hour * 60);
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}

export const held = (value: number, least: number, most: number): number => Math.min(Math.max(value, least), most);
