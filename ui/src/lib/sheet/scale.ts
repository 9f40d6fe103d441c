/** The scale bar and the grid, in round steps of the person's units. */
import type { Writing } from '../api/types';

const FOOT = 0.3048;
const METRIC = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
const FEET = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000].map((f) => f * FOOT);

export interface Bar { metres: number; px: number; words: string; parts: number }

function round(writing: Writing, fits: (metres: number) => boolean, last: boolean): number {
  const steps = writing.units === 'metric' ? METRIC : FEET;
  return (last ? steps.filter(fits).at(-1) : steps.find(fits)) ?? (last ? steps[0]! : steps.at(-1)!);
}

export function stepWords(metres: number, writing: Writing): string {
  if (writing.units === 'metric') return `${String(metres).replace('.', writing.decimal_mark)} m`;
  const feet = Math.round((metres / FOOT) * 10) / 10;
  return feet < 1 ? `${Math.round(feet * 12)} in` : `${feet} ft`;
}

/** The longest round length that takes at most `room` pixels. */
export function scaleBar(scale: number, writing: Writing, room = 160): Bar {
  const metres = round(writing, (m) => m * scale <= room, true);
  const first = Number(String(writing.units === 'metric' ? metres : metres / FOOT).replace(/[0.]/g, '')[0]);
  return { metres, px: metres * scale, words: stepWords(metres, writing), parts: first === 5 ? 5 : first === 2 ? 4 : 5 };
}

/** The finest round step that keeps grid lines at least `apart` pixels from each other. */
export function gridStep(scale: number, writing: Writing, apart = 32): { metres: number; words: string } {
  const metres = round(writing, (m) => m * scale >= apart, false);
  return { metres, words: stepWords(metres, writing) };
}
