/** Where a place lies, in words: what of a name is nearest, how far, on which side. */
import type { Bounds, Writing, XY } from '../api/types';

const SIDES = ['north', 'north-east', 'east', 'south-east', 'south', 'south-west', 'west', 'north-west'] as const;
/** No nearer than this it is said to be right there [m]. */
const THERE_M = 1.5;
const FOOT_M = 0.3048;

/** How far a point lies outside a box [m]; 0 inside. */
function outside(at: XY, box: Bounds): number {
  return Math.hypot(Math.max(box[0] - at[0], 0, at[0] - box[2]), Math.max(box[1] - at[1], 0, at[1] - box[3]));
}

/** A distance as somebody paces it: whole metres, or whole feet. */
function paced(metres: number, writing: Writing): string {
  return writing.units === 'metric' ? `${Math.round(metres)}\u00a0m` : `${Math.round(metres / FOOT_M)}\u00a0feet`;
}

/** The two nearest names to the place of some work (x east, y north) [m]; nothing where nothing has a name. */
export function nearWords(box: Bounds, names: readonly { words: string; at: XY }[], writing: Writing): string {
  const middle: XY = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
  const rows = names.map((n) => ({ words: n.words, far: outside(n.at, box), at: n.at })).sort((a, b) => a.far - b.far || a.words.localeCompare(b.words)).slice(0, 2);
  const said = rows.map((r) => {
    if (r.far < THERE_M) return `at ${r.words}`;
    const turn = (Math.atan2(middle[0] - r.at[0], middle[1] - r.at[1]) * 180) / Math.PI;
    return `${paced(r.far, writing)} ${SIDES[Math.round(((turn + 360) % 360) / 45) % 8]!} of ${r.words}`;
  });
  return said.length ? `It lies ${said.join(', ')}.` : '';
}
