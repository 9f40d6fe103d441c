import { describe, expect, test } from 'vitest';
import type { XY } from '../api/types';
import { bearing, crossing, distance, footOn, nearestOn, norm, step, turned, wind } from './points';
import { alongLine, awayFromRing, boundsOf, box, insideRing, lineLength, ringArea } from './shapes';
import { cornersOf, houseBeyond, houseOn, insideSide, roomiest, threeCornersOf, walkOn } from './taped';

const near = (a: XY | null, b: XY): void => {
  expect(a).not.toBeNull();
  expect(distance(a!, b)).toBeLessThan(1e-9);
};

test('bearings run clockwise from north', () => {
  expect([[0, 1], [1, 1], [1, 0], [0, -1], [-1, 0]].map((p) => bearing([0, 0], p as unknown as XY))).toEqual([0, 45, 90, 180, 270]);
  expect(norm(-90)).toBe(270);
  expect([norm(-1e-15), norm(-0), norm(-360), norm(720)]).toEqual([0, 0, 0, 0]);
  expect(bearing([0, 0], [-1e-16, 1])).toBe(0);
  expect([0, 46, 350].map(wind)).toEqual(['north', 'north-east', 'north']);
});
test('a step and its bearing agree all round', () => {
  for (let deg = 0; deg < 360; deg += 7) expect(bearing([3, 4], step([3, 4], deg, 2))).toBeCloseTo(deg, 9);
});
test('turning clockwise', () => near(turned([0, 1], 90, [0, 0]), [1, 0]));
test('feet and crossings', () => {
  near(footOn([3, 4], [0, 0], 90), [3, 0]);
  near(crossing([0, 0], 45, [4, 0], 0), [4, 4]);
  expect(crossing([0, 0], 10, [1, 1], 190)).toBeNull();
  expect(nearestOn([5, 5], [0, 0], [4, 0])).toMatchObject({ at: [4, 0], share: 1 });
});
test('areas, insides and lengths', () => {
  const square: XY[] = [[0, 0], [4, 0], [4, 4], [0, 4]];
  expect(ringArea(square)).toBe(16);
  expect(insideRing([1, 1], square)).toBe(true);
  expect(lineLength(square)).toBe(12);
  expect(alongLine(square, 5)).toMatchObject({ at: [4, 1], deg: 0 });
  expect(alongLine(square, 99)?.at).toEqual([0, 4]);
});
test('a box faces its bearing', () => {
  const ring = box([0, 0], 4, 2, 90);
  expect(boundsOf(ring).map((v) => Math.round(v * 1e9) / 1e9)).toEqual([-1, -2, 1, 2]);
  near([(ring[0]![0] + ring[1]![0]) / 2, (ring[0]![1] + ring[1]![1]) / 2], [1, 0]);
});

describe('four taped sides and a diagonal', () => {
  test('a 3-4-5 rectangle', () => {
    const ring = cornersOf([4, 3, 4, 3], 5) as XY[];
    [[0, 0], [4, 0], [4, 3], [0, 3]].forEach((p, i) => near(ring[i]!, p as unknown as XY));
  });
  test('every side and the diagonal measure true, whichever way it lies', () => {
    for (const first of [0, 37, 90, 200]) {
      const ring = cornersOf([18, 46.2, 18.4, 45.9], 49.5, first) as XY[];
      [18, 46.2, 18.4, 45.9].forEach((side, i) => expect(distance(ring[i]!, ring[(i + 1) % 4]!)).toBeCloseTo(side, 9));
      expect(distance(ring[0]!, ring[2]!)).toBeCloseTo(49.5, 9);
      expect(bearing(ring[0]!, ring[1]!)).toBeCloseTo(first, 9);
    }
  });
  test('sides that can’t meet are named', () => {
    expect(cornersOf([4, 3, 4, 3], 9)).toMatch(/first and second sides/);
    expect(cornersOf([4, 3, 1, 1], 5)).toMatch(/fourth and third sides/);
  });
  test('three sides lie as four do, and one too long is named', () => {
    const ring = threeCornersOf([5, 4, 3], 0) as XY[];
    [[0, 0], [0, 5], [-2.4, 1.8]].forEach((p, i) => near(ring[i]!, p as unknown as XY));
    expect(threeCornersOf([4, 9, 5])).toMatch(/second side is as long/);
  });
  test('the house stands inside, along its side', () => {
    const ring = cornersOf([4, 3, 4, 3], 5) as XY[];
    const house = houseOn(ring, 2, 1, 0.5, 2, 1);
    near(house[0]!, [3, 2.5]);
    near(house[2]!, [1, 1.5]);
  });
});

describe('a house beyond its ground', () => {
  const ground: XY[] = [[0, 0], [12, 0], [12, 20], [0, 20]];
  test('one that fits reaches nowhere', () => expect(houseBeyond(ground, houseOn(ground, 0, 2, 1, 8, 5))).toBeCloseTo(0, 9));
  test('one too deep, by how much', () => expect(houseBeyond(ground, houseOn(ground, 0, 0, 0, 8, 31))).toBeCloseTo(11, 9));
  test('one that spans a bay of the ground, though its corners stand on it', () => {
    const bay: XY[] = [[0, 0], [12, 0], [12, 10], [8, 10], [8, 4], [4, 4], [4, 10], [0, 10]];
    expect(houseBeyond(bay, [[1, 5], [11, 5], [11, 9], [1, 9]])).toBeCloseTo(2, 1);
  });
});

describe('an L-shaped ground', () => {
  const ell: XY[] = [[0, 0], [60, 0], [60, 40], [30, 40], [30, 90], [0, 90]];
  test('has its sides named inside it, whichever way round it was drawn', () => {
    for (const ring of [ell, [...ell].reverse()]) {
      ring.forEach((_, i) => expect(insideRing(insideSide(ring, i, 9), ring)).toBe(true));
    }
  });
  test('has its roomiest place on it, clear of the house', () => {
    const house: XY[] = [[3, 5], [27, 5], [27, 23], [3, 23]];
    const at = roomiest(ell, house);
    expect(insideRing(at, ell)).toBe(true);
    expect(insideRing(at, house)).toBe(false);
    expect(Math.min(awayFromRing(at, ell), awayFromRing(at, house))).toBeGreaterThan(12);
  });
  test('is walked side after side', () => {
    let at: XY = [0, 0];
    for (const [length, deg] of [[60, 90], [40, 0], [30, 270], [50, 0], [30, 270], [90, 180]] as const) at = walkOn(at, length, deg);
    expect(distance(at, [0, 0])).toBeLessThan(1e-9);
  });
});
