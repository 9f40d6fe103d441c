/** Rings and lines: areas, boxes, what lies inside. */
import type { Bounds, Figure, XY } from '../api/types';
import { bearing, between, distance, nearestOn, towards } from './points';

export function ringArea(ring: readonly XY[]): number {
  let twice = 0;
  for (let i = 0; i < ring.length; i += 1) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    twice += a[0] * b[1] - b[0] * a[1];
  }
  return Math.abs(twice) / 2;
}

export function insideRing(p: XY, ring: readonly XY[]): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i, i += 1) {
    const a = ring[i]!;
    const b = ring[j]!;
    if (a[1] > p[1] !== b[1] > p[1] && p[0] < ((b[0] - a[0]) * (p[1] - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  }
  return inside;
}

export function awayFromRing(p: XY, ring: readonly XY[]): number {
  let least = Infinity;
  for (let i = 0; i < ring.length; i += 1) least = Math.min(least, nearestOn(p, ring[i]!, ring[(i + 1) % ring.length]!).away);
  return least;
}

export const NOWHERE: Bounds = [Infinity, Infinity, -Infinity, -Infinity];

export function boundsOf(points: Iterable<XY>, start: Bounds = NOWHERE): Bounds {
  let [x0, y0, x1, y1] = start;
  for (const [x, y] of points) {
    if (x < x0) x0 = x;
    if (y < y0) y0 = y;
    if (x > x1) x1 = x;
    if (y > y1) y1 = y;
  }
  return [x0, y0, x1, y1];
}

export const join = (a: Bounds, b: Bounds): Bounds => [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.max(a[2], b[2]), Math.max(a[3], b[3])];
export const overlap = (a: Bounds, b: Bounds): boolean => a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3];
export const grown = (b: Bounds, by: number): Bounds => [b[0] - by, b[1] - by, b[2] + by, b[3] + by];
export const middle = (b: Bounds): XY => [(b[0] + b[2]) / 2, (b[1] + b[3]) / 2];
export const real = (b: Bounds): boolean => b[0] <= b[2] && b[1] <= b[3];

export function figureBounds(figure: Figure): Bounds {
  switch (figure.t) {
    case 'path':
      return boundsOf(figure.points);
    case 'area':
      return boundsOf(figure.rings.flat());
    case 'text':
      return boundsOf([figure.at]);
    case 'dimension':
      return grown(boundsOf([figure.start, figure.end]), Math.abs(figure.offset_m ?? 0));
  }
}

export function lineLength(points: readonly XY[]): number {
  let sum = 0;
  for (let i = 1; i < points.length; i += 1) sum += distance(points[i - 1]!, points[i]!);
  return sum;
}

/** The point a distance along a line, held at its ends. */
export function alongLine(points: readonly XY[], along: number): { at: XY; deg: number } | null {
  let left = Math.max(0, along);
  for (let i = 1; i < points.length; i += 1) {
    const [a, b] = [points[i - 1]!, points[i]!];
    const long = distance(a, b);
    if (left <= long || i === points.length - 1) {
      const deg = bearing(a, b);
      return { at: left >= long ? b : between(a, b, left / long), deg };
    }
    left -= long;
  }
  return null;
}

/** A rectangle about a middle: `width` across its front, which faces `deg`; `depth` behind it. */
export function box(at: XY, width: number, depth: number, deg: number): XY[] {
  const f = towards(deg);
  const r = towards(deg + 90);
  const corner = (a: number, b: number): XY => [at[0] + a * r[0] + b * f[0], at[1] + a * r[1] + b * f[1]];
  return [corner(-width / 2, depth / 2), corner(width / 2, depth / 2), corner(width / 2, -depth / 2), corner(-width / 2, -depth / 2)];
}
