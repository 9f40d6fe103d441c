/** Plane geometry in metres; bearings in degrees clockwise from north. */
import type { XY } from '../api/types';

export const add = (a: XY, b: XY): XY => [a[0] + b[0], a[1] + b[1]];
export const sub = (a: XY, b: XY): XY => [a[0] - b[0], a[1] - b[1]];
export const times = (a: XY, k: number): XY => [a[0] * k, a[1] * k];
export const dot = (a: XY, b: XY): number => a[0] * b[0] + a[1] * b[1];
export const cross = (a: XY, b: XY): number => a[0] * b[1] - a[1] * b[0];
export const between = (a: XY, b: XY, share = 0.5): XY => [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
export const distance = (a: XY, b: XY): number => Math.hypot(b[0] - a[0], b[1] - a[1]);
export const same = (a: XY, b: XY, within = 1e-6): boolean => distance(a, b) <= within;

export function bearing(from: XY, to: XY): number {
  return norm((Math.atan2(to[0] - from[0], to[1] - from[1]) * 180) / Math.PI);
}
export function norm(deg: number): number {
  const d = deg % 360;
  const up = d < 0 ? d + 360 : d;
  return up === 0 || up === 360 ? 0 : up; // a hair west of north would round up to 360
}
/** The unit vector of a bearing. */
export function towards(deg: number): XY {
  const a = (deg * Math.PI) / 180;
  return [Math.sin(a), Math.cos(a)];
}
export const step = (from: XY, deg: number, length: number): XY => add(from, times(towards(deg), length));

/** Turn clockwise about a point. */
export function turned(p: XY, deg: number, about: XY): XY {
  const a = (deg * Math.PI) / 180;
  const [x, y] = sub(p, about);
  return [about[0] + x * Math.cos(a) + y * Math.sin(a), about[1] - x * Math.sin(a) + y * Math.cos(a)];
}

/** The nearest point of a segment, and how far along it lies (0..1). */
export function nearestOn(p: XY, a: XY, b: XY): { at: XY; share: number; away: number } {
  const d = sub(b, a);
  const long = dot(d, d);
  const share = long === 0 ? 0 : Math.min(1, Math.max(0, dot(sub(p, a), d) / long));
  const at = between(a, b, share);
  return { at, share, away: distance(p, at) };
}

/** Where two endless lines cross, each given by a point and a bearing; null when they run alike. */
export function crossing(a: XY, aDeg: number, b: XY, bDeg: number): XY | null {
  const u = towards(aDeg);
  const v = towards(bDeg);
  const k = cross(u, v);
  if (Math.abs(k) < 1e-9) return null;
  return add(a, times(u, cross(sub(b, a), v) / k));
}

/** The foot of the square line from a point to an endless line. */
export function footOn(p: XY, a: XY, deg: number): XY {
  const u = towards(deg);
  return add(a, times(u, dot(sub(p, a), u)));
}

/** On the millimetre grid, as all that is pointed or typed. */
export const onGrid = (p: XY): XY => [Math.round(p[0] * 1000) / 1000, Math.round(p[1] * 1000) / 1000];

const NAMES = ['north', 'north-east', 'east', 'south-east', 'south', 'south-west', 'west', 'north-west'] as const;
/** The nearest of eight winds in words. */
export const wind = (deg: number): string => NAMES[Math.round(norm(deg) / 45) % 8] ?? 'north';
