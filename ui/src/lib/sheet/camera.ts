/** How the ground lies on the screen: the middle of the view and its scale in pixels to the metre. */
import type { Bounds, XY } from '../api/types';
import { middle } from '../geometry/shapes';

export interface ScreenPoint { readonly px: number; readonly py: number }
export interface Camera { readonly at: XY; readonly scale: number; readonly wide: number; readonly high: number }

export const LEAST = 0.5;
export const MOST = 2000;
const held = (scale: number): number => Math.min(MOST, Math.max(LEAST, scale));

export function toScreen(c: Camera, p: XY): ScreenPoint {
  return { px: c.wide / 2 + (p[0] - c.at[0]) * c.scale, py: c.high / 2 - (p[1] - c.at[1]) * c.scale };
}
export function toGround(c: Camera, s: ScreenPoint): XY {
  return [c.at[0] + (s.px - c.wide / 2) / c.scale, c.at[1] - (s.py - c.high / 2) / c.scale];
}

/** Show all of `bounds` with a margin in pixels. */
export function fit(bounds: Bounds, wide: number, high: number, margin = 28): Camera {
  const w = Math.max(bounds[2] - bounds[0], 1);
  const h = Math.max(bounds[3] - bounds[1], 1);
  const room = (size: number): number => Math.max(size - 2 * margin, size * 0.5, 1);
  return { at: middle(bounds), scale: held(Math.min(room(wide) / w, room(high) / h)), wide, high };
}

/** Zoom so that the ground under a screen point stays under it. */
export function zoomAbout(c: Camera, s: ScreenPoint, factor: number): Camera {
  const ground = toGround(c, s);
  const scale = held(c.scale * factor);
  return { ...c, scale, at: [ground[0] - (s.px - c.wide / 2) / scale, ground[1] + (s.py - c.high / 2) / scale] };
}

export const panBy = (c: Camera, dx: number, dy: number): Camera => ({ ...c, at: [c.at[0] - dx / c.scale, c.at[1] + dy / c.scale] });
/** Another size of the view: what lies at its top left stays there, so that nothing jumps when the line below grows. */
export function resized(c: Camera, wide: number, high: number): Camera {
  if (c.wide === 0) return { ...c, wide, high };
  return { ...c, wide, high, at: [c.at[0] + (wide - c.wide) / 2 / c.scale, c.at[1] - (high - c.high) / 2 / c.scale] };
}
export function view(c: Camera): Bounds {
  return [c.at[0] - c.wide / 2 / c.scale, c.at[1] - c.high / 2 / c.scale, c.at[0] + c.wide / 2 / c.scale, c.at[1] + c.high / 2 / c.scale];
}
