import { describe, expect, test } from 'vitest';
import { at, FakeBench, settle } from './bench.fake';
import { Beside } from './beside';
import { Dimension } from './dimension';
import { Mirror } from './mirror';
import { SetOut } from './set-out';

const hedge = (id: string, ...line: number[][]) => ({ kind: 'hedge', id, line });
const tree = (id: string, x: number, y: number) => ({ kind: 'tree', id, at: [x, y] });
const last = (bench: FakeBench) => bench.handedOut.at(-1)!;

describe('mirror', () => {
  test('in a line through two points, or at a typed angle', async () => {
    const bench = new FakeBench([tree('t', 2, 3)]);
    bench.start(new Mirror(bench, ['t']));
    bench.runner.current!.onPointerUp(at(0, 0));
    bench.runner.current!.onPointerUp(at(0, 5));
    await settle();
    expect(last(bench)).toEqual(['mirror', { ids: ['t'], start: [0, 0], end: [0, 5], keep: true }]);
    expect(bench.edits).toHaveLength(1);
    const again = new Mirror(bench, ['t']);
    bench.start(again);
    expect(again.onTyped({ angle_deg: 90 })).toMatch(/Point/);
    again.onPointerUp(at(1, 1));
    expect(again.onTyped({ length_m: 2 })).toMatch(/angle/);
    again.onField('keep', 'turn');
    expect(again.onTyped({ angle_deg: 90 })).toBeNull();
    await settle();
    expect(last(bench)[1]).toMatchObject({ start: [1, 1], end: [101, 1], keep: false });
    expect(bench.edits).toHaveLength(2);
  });
});

describe('set out', () => {
  test('counts, distances and the pattern are filled in; pointing gives distance and direction', async () => {
    const bench = new FakeBench([tree('t', 0, 0)]);
    const gesture = new SetOut(bench, ['t']);
    bench.start(gesture);
    expect(gesture.onField('across', '0')).toMatch(/whole number/);
    expect(gesture.onField('across', '5')).toBeNull();
    expect(gesture.onField('rows', '4')).toBeNull();
    expect(gesture.onField('spacing', '3 m')).toBeNull();
    expect(gesture.onField('spacing', 'far')).toBeTruthy();
    expect(gesture.onField('layout', 'quincunx')).toBeNull();
    expect(last(bench)[1]).toMatchObject({ layout: 'quincunx', across: 5, rows: 4, spacing_m: 3, along_deg: 90 });
    expect(gesture.onTyped({ length_m: 2.5, second_m: 3, angle_deg: 45 })).toBeNull();
    expect(last(bench)[1]).toMatchObject({ spacing_m: 2.5, apart_m: 3, along_deg: 45 });
    gesture.onPointerMove(at(0, 4, { alt: true }));
    expect(last(bench)[1]).toMatchObject({ spacing_m: 4, along_deg: 0 });
    gesture.onField('apart', '');
    gesture.onComplete();
    await settle();
    expect(bench.edits).toHaveLength(1);
    expect(bench.chosen).toEqual(['new-1']);
  });
});

describe('beside', () => {
  test('pointing says which side and how far; typing says exactly', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    const gesture = new Beside(bench, 'h');
    bench.start(gesture);
    gesture.onPointerMove(at(3, -1.02));
    expect(last(bench)[1]).toMatchObject({ id: 'h', aside_m: -1 });
    expect(bench.said.size).toMatch(/1\.00 m to its right/);
    gesture.onField('kind', 'path');
    expect(gesture.onTyped({})).toMatch(/how far/);
    expect(gesture.onTyped({ length_m: 0.6 })).toBeNull();
    await settle();
    expect(last(bench)[1]).toMatchObject({ aside_m: -0.6, kind: 'path', since: '2028-03' });
    expect(bench.edits).toHaveLength(1);
    expect(Beside.fits(bench, 'h')).toBe(true);
  });
});

test('a dimension line: two ends, then how far beside', async () => {
  const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
  const gesture = new Dimension(bench);
  bench.start(gesture);
  expect(gesture.onTyped({ length_m: 1 })).toMatch(/both ends/);
  gesture.onPointerUp(at(0.1, 0));
  gesture.onPointerUp(at(8, 0.1));
  expect(gesture.onBack()).toBe(true);
  gesture.onPointerUp(at(8, 0.1));
  gesture.onPointerMove(at(4, -1.23));
  expect(last(bench)).toEqual(['dimension', { start: [0, 0], end: [8, 0], aside_m: -1.25 }]);
  expect(gesture.onTyped({ length_m: 0.7 })).toBeNull();
  await settle();
  expect(last(bench)[1]).toMatchObject({ aside_m: -0.7 });
  expect(bench.edits).toHaveLength(1);
});
