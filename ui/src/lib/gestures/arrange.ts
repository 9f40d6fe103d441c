/** Set several things in line, or the same distance apart: how far each has to move. */
import type { Bounds, XY } from '../api/types';
import { middle } from '../geometry/shapes';

export type Line = 'west' | 'east' | 'north' | 'south' | 'middle-ns' | 'middle-ew';
export const LINES: readonly [Line, string][] = [
  ['west', 'west sides'], ['middle-ns', 'middles, north to south'], ['east', 'east sides'],
  ['north', 'north sides'], ['middle-ew', 'middles, east to west'], ['south', 'south sides'],
];

/** How far each box moves so that all lie in line with the first. */
export function inLine(boxes: readonly Bounds[], line: Line): XY[] {
  const first = boxes[0];
  if (!first) return [];
  const [mx, my] = middle(first);
  return boxes.map((b): XY => {
    const [x, y] = middle(b);
    switch (line) {
      case 'west': return [first[0] - b[0], 0];
      case 'east': return [first[2] - b[2], 0];
      case 'north': return [0, first[3] - b[3]];
      case 'south': return [0, first[1] - b[1]];
      case 'middle-ns': return [mx - x, 0];
      case 'middle-ew': return [0, my - y];
    }
  });
}

/** How far each box moves so that the gaps between them are equal; the outermost two stay. */
export function evenly(boxes: readonly Bounds[]): XY[] {
  const middles = boxes.map(middle);
  const spread = (axis: 0 | 1): number => Math.max(...middles.map((m) => m[axis])) - Math.min(...middles.map((m) => m[axis]));
  const axis: 0 | 1 = spread(0) >= spread(1) ? 0 : 1;
  const order = boxes.map((_, i) => i).sort((a, b) => middles[a]![axis] - middles[b]![axis] || a - b);
  const shifts: XY[] = boxes.map(() => [0, 0]);
  if (boxes.length < 3) return shifts;
  const size = (i: number): number => boxes[i]![axis + 2]! - boxes[i]![axis]!;
  const start = boxes[order[0]!]![axis]!;
  const end = boxes[order.at(-1)!]![axis + 2]!;
  const gap = (end - start - order.reduce((sum, i) => sum + size(i), 0)) / (boxes.length - 1);
  let at = start;
  for (const i of order) {
    const by = at - boxes[i]![axis]!;
    shifts[i] = axis === 0 ? [by, 0] : [0, by];
    at += size(i) + gap;
  }
  return shifts;
}
