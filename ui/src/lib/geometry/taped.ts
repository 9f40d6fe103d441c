/** Four taped sides and one diagonal, or three sides, make a shape: corners as the program lays them. */
import type { XY } from '../api/types';
import { between, distance, turned } from './points';
import { awayFromRing, boundsOf, insideRing } from './shapes';

const GAP_M = 0.05;
const LOOK_M = 0.25;
const MOST_LOOKS = 400;
const LOOKS_ACROSS = 24;
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

/** Corners from three sides [m] in order round the ground, lying as those of four do; a sentence where they can't meet. */
export function threeCornersOf(sides: readonly [number, number, number], first_deg = 90): XY[] | string {
  const [a, b, c] = sides;
  const longest = sides.indexOf(Math.max(...sides));
  if (2 * sides[longest]! >= a + b + c) return `The ${NAMES[longest]} side is as long as the two others together, or longer: they can’t meet. Tape one of the three again.`;
  const x = (a ** 2 + c ** 2 - b ** 2) / (2 * a);
  const flat: XY[] = [[0, 0], [a, 0], [x, Math.sqrt(Math.max(c ** 2 - x ** 2, 0))]];
  return flat.map((p) => turned(p, first_deg - 90, [0, 0]));
}

function triangle(near: number, far: number, across: number, i: number, j: number): number | string {
  if (near + far < across - GAP_M || Math.abs(near - far) > across + GAP_M) {
    return `The ${NAMES[i]} and ${NAMES[j]} sides can’t meet over that diagonal. Tape one of the three again.`;
  }
  const cosine = (near ** 2 + across ** 2 - far ** 2) / (2 * near * across);
  return Math.acos(Math.min(1, Math.max(-1, cosine)));
}

/** 1 where the ground lies to the left of one who walks its corners in order, else −1. */
const handOf = (ring: readonly XY[]): 1 | -1 => (ring.reduce((sum, p, i) => sum + p[0] * ring[(i + 1) % ring.length]![1] - ring[(i + 1) % ring.length]![0] * p[1], 0) >= 0 ? 1 : -1);

/** A point so far inside the middle of a side [m], or half-way across where the ground is narrower than twice that. */
export function insideSide(ring: readonly XY[], side: number, far: number): XY {
  const [a, b] = [ring[side % ring.length]!, ring[(side + 1) % ring.length]!];
  const run = distance(a, b) || 1;
  const turn = handOf(ring);
  const inward: XY = [(-(b[1] - a[1]) / run) * turn, ((b[0] - a[0]) / run) * turn];
  const at = (m: number): XY => [(a[0] + b[0]) / 2 + inward[0] * m, (a[1] + b[1]) / 2 + inward[1] * m];
  let reach = far;
  for (let n = 0; n < 6 && !insideRing(at(2 * reach), ring); n += 1) reach /= 2;
  return at(reach);
}

/** The corner on a walk round the ground: so far [m] from the last one, towards a bearing [degrees from north]. */
export const walkOn = (from: XY, length: number, towards_deg: number): XY => turned([from[0] + length, from[1]], towards_deg - 90, from);

/** A place on the ground with the most room round it, clear of a house that stands there. */
export function roomiest(ground: readonly XY[], house: readonly XY[]): XY {
  const [x0, y0, x1, y1] = boundsOf(ground);
  let [best, most]: [XY, number] = [[(x0 + x1) / 2, (y0 + y1) / 2], -Infinity];
  for (let i = 1; i < LOOKS_ACROSS; i += 1) {
    for (let j = 1; j < LOOKS_ACROSS; j += 1) {
      const p: XY = [x0 + ((x1 - x0) * i) / LOOKS_ACROSS, y0 + ((y1 - y0) * j) / LOOKS_ACROSS];
      if (!insideRing(p, ground) || (house.length && insideRing(p, house))) continue;
      const clear = Math.min(awayFromRing(p, ground), house.length ? awayFromRing(p, house) : Infinity);
      if (clear > most + 1e-9) [best, most] = [p, clear];
    }
  }
  return best;
}

/** A house along a side (0..3): where it begins, how far in, its corners in order. */
export function houseOn(ring: readonly XY[], side: number, along: number, back: number, width: number, depth: number): XY[] {
  const a = ring[side % ring.length]!;
  const b = ring[(side + 1) % ring.length]!;
  const run = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  const [ux, uy] = [(b[0] - a[0]) / run, (b[1] - a[1]) / run];
  const turn = handOf(ring);
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
