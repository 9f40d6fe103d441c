import { describe, expect, test } from 'vitest';
import type { SnapEdge, SnapPoint, XY } from '../api/types';
import { distance } from '../geometry/points';
import { evenGap, snap, type Ground } from './snap';

const ground = (points: SnapPoint[] = [], edges: SnapEdge[] = []): Ground => ({ points, edges });
const wall: SnapEdge = [[0, 0], [10, 0], 'wall-1'];
const near = (a: XY, b: XY): void => expect(distance(a, b)).toBeLessThan(2e-3);

test('nothing near: the millimetre grid and no word', () => {
  expect(snap([1.23456, 2.34567], ground(), { reach_m: 0.3 })).toEqual({ at: [1.235, 2.346], words: '', guides: [] });
});

describe('points', () => {
  test('the nearest one, by its name', () => expect(snap([5.1, 5], ground([[5, 5, 'stake', '', 'A'], [5.3, 5, 'corner', 'bed-1']]), { reach_m: 0.3 })).toMatchObject({ at: [5, 5], words: 'stake A' }));
  test('a corner before the edge it lies on, with the edge still known', () => {
    const snapped = snap([0.1, 0.05], ground([[0, 0, 'end', 'wall-1']], [wall]), { reach_m: 0.3 });
    expect(snapped).toMatchObject({ at: [0, 0], words: 'end', edge: { owner: 'wall-1', deg: 90 } });
  });
  test('what is dragged doesn’t attract itself', () => expect(snap([5.1, 5], ground([[5, 5, 'corner', 'bed-1']]), { reach_m: 0.3, without: new Set(['bed-1']) }).words).toBe(''));
  test('the boundary attracts whatever is dragged', () => expect(snap([5.1, 5], ground([[5, 5, 'stake', '']]), { reach_m: 0.3, without: new Set(['bed-1']) }).words).toBe('stake'));
  test('the first corner closes an outline', () => expect(snap([0.1, 0], ground(), { reach_m: 0.3, own: [[0, 0], [4, 0], [4, 4]] }).words).toBe('first corner'));
  test('out of reach is out', () => expect(snap([5.4, 5], ground([[5, 5, 'spot', '']]), { reach_m: 0.3, from: [0, 1] }).words).not.toBe('spot'));
});

describe('lines from the last point', () => {
  test('square to the side before', () => {
    const snapped = snap([3.05, 5], ground(), { reach_m: 0.3, from: [3, 0], side_deg: 90 });
    expect(snapped).toMatchObject({ at: [3, 5], words: 'square' });
  });
  test('square to a slanting side', () => {
    const snapped = snap([-2.9, 3.1], ground(), { reach_m: 0.3, from: [0, 0], side_deg: 45 });
    near(snapped.at, [-3, 3]);
    expect(snapped.words).toBe('square');
  });
  test('straight on', () => expect(snap([6, 6.1], ground(), { reach_m: 0.3, from: [0, 0], side_deg: 45 }).words).toBe('straight on'));
  test('the axis', () => expect(snap([0.1, 7], ground(), { reach_m: 0.3, from: [0, 0] })).toMatchObject({ at: [0, 7], words: 'north–south' }));
  test('two lines cross', () => {
    const snapped = snap([4.1, 0.1], ground([[4, 9, 'corner', 'bed-1']]), { reach_m: 0.3, from: [0, 0] });
    expect(snapped).toMatchObject({ at: [4, 0], words: 'east–west, in line with corner' });
  });
  test('as long as a side before', () => {
    const snapped = snap([6.1, 7.2], ground(), { reach_m: 0.3, from: [4, 4], own: [[0, 0], [3.8, 0]] });
    expect(snapped.words).toBe('equal sides');
    expect(distance(snapped.at, [4, 4])).toBeCloseTo(3.8, 2);
  });
});

describe('edges', () => {
  test('on the edge', () => expect(snap([3.2, 0.2], ground([], [wall]), { reach_m: 0.3 })).toMatchObject({ at: [3.2, 0], words: 'on the edge', edge: { owner: 'wall-1' } }));
  test('square to the edge from the last point', () => {
    const snapped = snap([3.1, 0.1], ground([], [[[0, 1], [10, 3], 'w']]), { reach_m: 3, from: [3, 12] });
    expect(snapped.guides.length).toBeGreaterThan(0);
  });
  test('on an edge that begins at the corner, the edge counts and not the line with the corner', () => {
    const found = snap([0.1, 12], ground([[0, 0, 'corner', '']], [[[0, 0], [0, 24], '']]), { reach_m: 0.3 });
    expect(found).toMatchObject({ at: [0, 12], words: 'on the edge', edge: { deg: 0, ends: [[0, 0], [0, 24]] } });
  });
  test('an edge before a line with something a little beside it', () => {
    const found = snap([-0.05, 12], ground([[-0.1, 5, 'corner', 'hedge-1']], [[[0, 0], [0, 24], '']]), { reach_m: 0.3 });
    expect(found).toMatchObject({ at: [0, 12], words: 'on the edge' });
  });
  test('drawing on along an edge keeps both', () => {
    const found = snap([0.1, 12], ground([], [[[0, 0], [0, 24], '']]), { reach_m: 0.3, from: [0, 7] });
    expect(found).toMatchObject({ at: [0, 12], words: 'north–south, on the edge', edge: { deg: 0 } });
  });
  test('a guide meets the edge', () => expect(snap([5.1, 0.1], ground([], [wall]), { reach_m: 0.3, from: [5, 6] })).toMatchObject({ at: [5, 0], words: 'north–south, on the edge' }));
});

test('a handle that slides stays on its line', () => {
  const snapped = snap([4, 7], ground(), { reach_m: 0.3, rail: { at: [0, 1], deg: 90 } });
  near(snapped.at, [4, 1]);
  expect(snap([4.1, 7], ground([[4, 3, 'corner', 'x']]), { reach_m: 0.3, rail: { at: [0, 1], deg: 90 } })).toMatchObject({ at: [4, 1], words: 'level with corner' });
});
test('off: only the grid', () => expect(snap([5.0004, 5], ground([[5, 5, 'stake', '']]), { reach_m: 0.3, off: true })).toMatchObject({ at: [5, 5], words: '' }));

test('even gaps: between two, and on beyond them', () => {
  expect(evenGap([2.1, 0.05], [[0, 0], [4, 0]], 0.3)).toMatchObject({ at: [2, 0.05], words: 'evenly spaced' });
  expect(evenGap([8.1, 0], [[0, 0], [4, 0]], 0.3)).toMatchObject({ at: [8, 0] });
  expect(evenGap([0, -2.1], [[0, 0], [0, 2]], 0.3)).toMatchObject({ at: [0, -2] });
  expect(evenGap([6, 0], [[0, 0], [4, 0]], 0.3)).toBeNull();
});

test('two thousand edges are searched in well under a frame', () => {
  const many = ground(
    Array.from({ length: 8000 }, (_, i): SnapPoint => [(i % 200) * 1.1, Math.floor(i / 200) * 1.3, 'corner', `f${i}`]),
    Array.from({ length: 8000 }, (_, i): SnapEdge => [[i % 200, i / 200], [(i % 200) + 1, i / 200], `f${i}`]),
  );
  const found = snap([50.3, 20.2], many, { reach_m: 0.3, from: [0, 0] });
  expect(found.at.every(Number.isFinite)).toBe(true);
});
