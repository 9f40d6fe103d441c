/** Walking on free ground: nobody goes through a wall, one slides along it; the floor says how high one stands. */
import type { XY } from '../api/types';

/** An outline and its holes, without the last corner twice. */
export type Rings = readonly (readonly XY[])[];
export interface Heights { x0: number; y0: number; step: number; rows: number; columns: number; cm: string }

/** Longest stride looked at in one go [m]: shorter than any wall with a body's width on both sides. */
const STRIDE_M = 0.1;
/** How far inside the edge one is set down [m]. */
const INSIDE_M = 0.002;

export function within(rings: Rings, [x, y]: XY): boolean {
  let odd = false;
  for (const ring of rings) {
    for (let k = 0, j = ring.length - 1; k < ring.length; j = k, k += 1) {
      const [ax, ay] = ring[k]!;
      const [bx, by] = ring[j]!;
      if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) odd = !odd;
    }
  }
  return odd;
}

/** The nearest point on the outlines, and how far it is off [m]. */
export function nearest(rings: Rings, [x, y]: XY): { at: XY; off: number } {
  let best: { at: XY; off: number } = { at: [x, y], off: Infinity };
  for (const ring of rings) {
    for (let k = 0, j = ring.length - 1; k < ring.length; j = k, k += 1) {
      const [ax, ay] = ring[j]!;
      const [dx, dy] = [ring[k]![0] - ax, ring[k]![1] - ay];
      const t = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)));
      const at: XY = [ax + t * dx, ay + t * dy];
      const off = Math.hypot(at[0] - x, at[1] - y);
      if (off < best.off) best = { at, off };
    }
  }
  return best;
}

/** The piece of free ground one stands in (-1: none). */
export const pieceAt = (free: readonly Rings[], at: XY): number => free.findIndex((rings) => within(rings, at));

/** Where a step ends: as wished on free ground, else along the edge of the piece one is in. */
export function walked(free: readonly Rings[], from: XY, by: XY): XY {
  const piece = free[pieceAt(free, from)];
  if (!piece) return from;
  const far = Math.hypot(...by);
  const strides = Math.max(1, Math.ceil(far / STRIDE_M));
  let here = from;
  for (let k = 0; k < strides; k += 1) {
    const to: XY = [here[0] + by[0] / strides, here[1] + by[1] / strides];
    const next = within(piece, to) ? to : slid(piece, to);
    if (!next) break;
    here = next;
  }
  return here;
}

/** The point just inside a piece that lies nearest to one outside it; null where the edge is too narrow to stand at. */
function slid(piece: Rings, to: XY): XY | null {
  const { at, off } = nearest(piece, to);
  if (off === 0) return null;
  const inward: XY = [(at[0] - to[0]) / off, (at[1] - to[1]) / off];
  const next: XY = [at[0] + INSIDE_M * inward[0], at[1] + INSIDE_M * inward[1]];
  return within(piece, next) ? next : null;
}

/** The nearest place one can stand at. */
export function stood(free: readonly Rings[], at: XY): XY {
  if (free.length === 0 || pieceAt(free, at) >= 0) return at;
  const found = free.map((rings) => ({ rings, ...nearest(rings, at) })).sort((a, b) => a.off - b.off)[0]!;
  return slid(found.rings, at) ?? found.at;
}

export class Floor {
  private readonly cells: Int16Array;
  constructor(private readonly grid: Heights) {
    const bytes = Uint8Array.from(atob(grid.cm), (c) => c.charCodeAt(0));
    this.cells = new Int16Array(bytes.buffer);
  }
  /** How high one stands at a place [m above the datum]. */
  at([x, y]: XY): number {
    const { x0, y0, step, rows, columns } = this.grid;
    const hold = (v: number, most: number): number => Math.min(Math.max(v, 0), most - 1.000001);
    const [u, v] = [hold((x - x0) / step, columns), hold((y - y0) / step, rows)];
    const [i, j] = [Math.floor(u), Math.floor(v)];
    const cell = (r: number, c: number): number => this.cells[r * columns + c]! / 100;
    const [s, t] = [u - i, v - j];
    return (cell(j, i) * (1 - s) + cell(j, i + 1) * s) * (1 - t) + (cell(j + 1, i) * (1 - s) + cell(j + 1, i + 1) * s) * t;
  }
}
