import { describe, expect, it } from 'vitest';
import type { XY } from '../api/types';
import { Floor, nearest, stood, walked, within, type Rings } from './walking';

/** Two rooms with a gap between them, as a wall 0.3 m thick leaves to a body 0.45 m wide; a pillar in the first. */
const room: Rings = [[[0, 0], [4, 0], [4, 4], [0, 4]], [[1.5, 1.5], [2.5, 1.5], [2.5, 2.5], [1.5, 2.5]]];
const next: Rings = [[[4.75, 0], [9, 0], [9, 4], [4.75, 4]]];
const free = [room, next];

describe('walking', () => {
  it('knows in from out, and holes', () => {
    expect(within(room, [1, 1])).toBe(true);
    expect(within(room, [2, 2])).toBe(false);
    expect(within(room, [4.2, 1])).toBe(false);
    expect(nearest(room, [5, 1])).toEqual({ at: [4, 1], off: 1 });
  });
  it('goes where it is free', () => {
    expect(walked(free, [0.5, 0.5], [0.3, 0.2])[0]).toBeCloseTo(0.8);
  });
  it('never goes through a wall, however long the stride', () => {
    for (const by of [[1, 0], [3, 0.5], [50, 0], [20, -7]] as XY[]) {
      const [x, y] = walked(free, [3.5, 1], by);
      expect(x).toBeLessThan(4);
      expect(within(room, [x, y])).toBe(true);
    }
  });
  it('slides along a wall', () => {
    const [x, y] = walked(free, [3.9, 1], [1, 1]);
    expect(x).toBeGreaterThan(3.98);
    expect(y).toBeCloseTo(2, 1);
  });
  it('goes round a pillar, never into it', () => {
    let at: XY = [0.5, 2.1];
    for (let k = 0; k < 400; k += 1) {
      at = walked(free, at, [0.02, 0]);
      expect(within(room, at)).toBe(true);
    }
    expect(at[0]).toBeLessThan(1.51);
  });
  it('sets down where one can stand', () => {
    expect(within(room, stood(free, [4.2, 1]))).toBe(true);
    expect(within(next, stood(free, [4.6, 1]))).toBe(true);
    expect(stood([], [1, 2])).toEqual([1, 2]);
  });
});

describe('the floor', () => {
  const cells = new Int16Array([0, 0, 0, 100, 100, 100]);
  const cm = btoa(String.fromCharCode(...new Uint8Array(cells.buffer)));
  const floor = new Floor({ x0: 10, y0: 20, step: 0.5, rows: 2, columns: 3, cm });
  it('is read between its points, and held at its edge', () => {
    expect(floor.at([10.2, 20])).toBeCloseTo(0);
    expect(floor.at([10.2, 20.25])).toBeCloseTo(0.5, 4);
    expect(floor.at([99, 99])).toBeCloseTo(1, 4);
  });
});
