/** Four taped sides and one diagonal make a shape: corners as the program lays them. */
import type { XY } from '../api/types';
import { between, distance, turned } from './points';
import { awayFromRing, insideRing } from './shapes';

const GAP_M = 0.05;
const LOOK_M = 0.25;
const MOST_LOOKS = 400;
const NAMES = ['first', 'second', 'third', 'fourth'] as const;

/**
 * Corners from four sides [m] in order round the ground and the diagonal from the first corner to the third.
 * The first corner is (0, 0); the first side runs towards `first_deg`; the ground lies to its left.
 * A sentence comes back when the sides can't meet.
 */
export function cornersOf(sides: readonly [number, number, number, number], diagonal: number, first_deg = 90): XY[] | string {
  const [a, b, c, d] = sides;
  const one = triangle(a, b, diagonal, 0, 1);
  if (typeof one === 'string') return one;
  const two = triangle(d, c, diagonal, 3, 2);
  if (typeof two === 'string') return two;
  const flat: XY[] = [[0, 0], [a, 0], [diagonal * Math.cos(one), diagonal * Math.sin(one)], [d * Math.cos(one + two), d * Math.sin(one + two)]];
  return flat.map((p) => turned(p, first_deg - 90, [0, 0]));
}

function triangle(near: number, far: number, across: number, i: number, j: number): number | string {
  if (near + far < across - GAP_M || Math.abs(near - far) > across + GAP_M) {
    return `The ${NAMES[i]} and ${NAMES[j]} sides can’t meet over that diagonal. Tape one of the three again.`;
  }
  const cosine = (near ** 2 + across ** 2 - far ** 2) / (2 * near * across);
  return Math.acos(Math.min(1, Math.max(-1, cosine)));
}

/** A house along a side (0..3): where it begins, how far in, its corners in order. */
export function houseOn(ring: readonly XY[], side: number, along: number, back: number, width: number, depth: number): XY[] {
  const a = ring[side % ring.length]!;
  const b = ring[(side + 1) % ring.length]!;
  const run = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  const [ux, uy] = [(b[0] - a[0]) / run, (b[1] - a[1]) / run];
  const turn = ring.reduce((sum, p, i) => sum + p[0] * ring[(i + 1) % ring.length]![1] - ring[(i + 1) % ring.length]![0] * p[1], 0) >= 0 ? 1 : -1;
  const [nx, ny] = [-uy * turn, ux * turn];
  const at = (s: number, t: number): XY => [a[0] + ux * s + nx * t, a[1] + uy * s + ny * t];
  return [at(along, back), at(along + width, back), at(along + width, back + depth), at(along, back + depth)];
}

/** How far a house reaches beyond the ground at most [m]: looked at all along its sides. */
export function houseBeyond(ground: readonly XY[], house: readonly XY[]): number {
  let most = 0;
  house.forEach((a, i) => {
    const b = house[(i + 1) % house.length]!;
    const steps = Math.max(1, Math.min(MOST_LOOKS, Math.ceil(distance(a, b) / LOOK_M)));
    for (let n = 0; n < steps; n += 1) {
      const p = between(a, b, n / steps);
      if (!insideRing(p, ground)) most = Math.max(most, awayFromRing(p, ground));
    }
  });
  return most;
}
