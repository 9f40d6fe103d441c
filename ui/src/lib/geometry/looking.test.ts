import { describe, expect, it } from 'vitest';
import { CLOSER, firstStep, moved, whole } from './looking';

const PHONE = { w: 300, h: 420 };
const width = (w: number, h: number, frame = PHONE) => w * whole({ w, h }, frame) * CLOSER[firstStep({ w, h }, frame)]!;

describe('a picture in a frame', () => {
  it('is shown whole, unless it is a strip', () => {
    expect(firstStep({ w: 800, h: 600 }, PHONE)).toBe(0);
    expect(firstStep({ w: 300, h: 420 }, PHONE)).toBe(0);
  });
  it('of a strip shows enough to point at, and never more than the frame is wide', () => {
    for (const [w, h] of [[300, 1400], [90, 900], [400, 1600], [100, 1000]] as const) {
      expect(width(w, h)).toBeGreaterThan(180);
      expect(width(w, h)).toBeLessThanOrEqual(300);
    }
  });
  it('of a wide strip as well', () => {
    const [w, h] = [1600, 100];
    expect(h * whole({ w, h }, PHONE) * CLOSER[firstStep({ w, h }, PHONE)]!).toBeGreaterThan(120);
  });
});

describe('the cross', () => {
  const picture = { w: 300, h: 600 };
  it('goes by screen points, finely with Shift, and stays on the picture', () => {
    expect(moved([100, 100], 'ArrowRight', false, 2, picture)).toEqual([106, 100]);
    expect(moved([100, 100], 'ArrowUp', true, 2, picture)).toEqual([100, 99.5]);
    expect(moved([1, 599], 'ArrowLeft', false, 1, picture)).toEqual([0, 599]);
    expect(moved([1, 599], 'ArrowDown', false, 1, picture)).toEqual([1, 600]);
    expect(moved([1, 1], 'a', false, 1, picture)).toBeNull();
  });
});
