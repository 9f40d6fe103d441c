import { describe, expect, test } from 'vitest';
import { at, FakeBench, kind, settle } from '../gestures/bench.fake';
import { Move } from '../gestures/move';
import { Placed } from '../gestures/placed';
import { Pull } from '../gestures/pull';
import { openingOf, seatNear } from './in-wall';

const wall = (id: string, ...line: unknown[][]): Record<string, unknown> => ({ id, kind: 'hedge', line });
const gate = (x: number, y: number, more: Record<string, unknown> = {}): Record<string, unknown> => ({ id: 'g', kind: 'gate', at: [x, y], along_deg: 90, width: 1, ...more });

describe('where an opening sits', () => {
  const bench = new FakeBench([wall('h', [0, 0], [8, 0], [8, 6]), wall('short', [20, 0], [20.6, 0])]);

  test.each([
    ['in the middle of the thickness', [2, 0.3], [2, 0], 'in h, 2.00 m along'],
    ['a round figure along', [2.013, 0.3], [2, 0], 'in h, 2.00 m along'],
    ['whole before the end of a wall', [0.1, 0.2], [0.5, 0], 'in h, at its end'],
    ['whole beyond a corner', [8.2, 0.2], [8, 0.5], 'in h, at its end'],
    ['in the middle of a piece, which draws it', [4.1, 0], [4, 0], 'in h, in its middle'],
  ] as const)('%s', (_, p, seat, words) => {
    const found = seatNear(bench, p as unknown as [number, number], 1, 90);
    expect(found?.at).toEqual(seat);
    expect(found?.words).toBe(words);
  });
  test('not rounded where the drawing is large enough to see less', () => {
    const near = new FakeBench([wall('h', [0, 0], [8, 0])]);
    near.reach_m = () => 0.05;
    expect(seatNear(near, [2.013, 0.02], 1, 90)?.at).toEqual([2.013, 0]);
    expect(seatNear(near, [2, 0.45], 1, 90)?.at).toEqual([2, 0]); // a thick hedge is pointed at off its middle line
    expect(seatNear(near, [2, 0.55], 1, 90)).toBeNull();
  });
  test('nowhere far from walls, and in none that is too short for it', () => {
    expect(seatNear(bench, [4, 3], 1, 90)).toBeNull();
    expect(seatNear(bench, [20.3, 0], 1, 90)).toBeNull();
  });
  test('turned the way round that turns it least', () => {
    expect(seatNear(bench, [2, 0], 1, 250)?.deg).toBe(270);
    expect(seatNear(bench, [2, 0], 1, 20)?.deg).toBe(90);
    expect(seatNear(bench, [8, 4], 1, 350)?.deg).toBe(0);
  });
  test('between the last corner and the first of one that goes round', () => {
    const round = new FakeBench([{ ...wall('h', [0, 0], [8, 0], [4, 8]), closed: true }]);
    const kinds = round.kinds();
    round.kinds = () => kinds.map((k) => (k.place.holds ? { ...k, place: { ...k.place, closes: 'closed' } } : k));
    expect(seatNear(round, [1.9, 3.9], 1, 0)?.at).toEqual([2, 4]);
  });
  test('with lengths kept as they were typed', () => {
    const feet = new FakeBench([wall('h', [{ m: 0.3048, typed: "1'" }, 0], [{ m: 6.096, typed: "20'" }, 0])]);
    expect(seatNear(feet, [2, 0.1], 1, 90)).toMatchObject({ at: [2.005, 0], words: 'in h, 1.70 m along' });
  });
  test('what is no opening sits in no wall', () => {
    expect(openingOf(bench, 'h')).toBeNull();
    expect(openingOf(new FakeBench([gate(2, 0)]), 'g')).toMatchObject({ at: [2, 0], width_m: 1, deg: 90 });
  });
});

describe('an opening that is moved', () => {
  const garden = (): FakeBench => new FakeBench([wall('h', [0, 0], [8, 0]), wall('v', [0, 2], [0, 9]), gate(2, 0)]);

  test('is pulled along its wall, and into another, with which it turns', async () => {
    const bench = garden();
    const pull = new Pull(bench, 'g', 'at');
    bench.start(pull);
    expect(bench.said.words).toMatch(/along its wall/);
    pull.onPointerMove(at(5, 0.4));
    expect(bench.asked.at(-1)).toEqual({ to: 'handle', id: 'g', handle: 'at', at: [5, 0], turn: { along_deg: 90 } });
    expect([bench.said.size, bench.live.mark?.words]).toEqual(['5.00 m', 'in h, 5.00 m along']);
    pull.onPointerMove(at(0.3, 4));
    expect(bench.asked.at(-1)).toMatchObject({ at: [0, 4], turn: { along_deg: 0 } });
    pull.onPointerUp();
    await settle();
    expect(bench.edits).toHaveLength(1);
  });
  test('leaves its wall where none is near, or with alt', () => {
    const bench = garden();
    const pull = new Pull(bench, 'g', 'at');
    bench.start(pull);
    pull.onPointerMove(at(5, 4));
    expect(bench.asked.at(-1)).toEqual({ to: 'handle', id: 'g', handle: 'at', at: [5, 4] });
    pull.onPointerMove(at(5, 0.2, { alt: true }));
    expect(bench.asked.at(-1)).toMatchObject({ at: [5, 0.2] });
  });
  test('takes a typed distance along its wall, if it fits there', async () => {
    const bench = garden();
    const pull = new Pull(bench, 'g', 'at');
    bench.start(pull);
    expect(pull.onTyped({ length_m: 7.8 })).toBe('Its middle can be from 0.50 m to 7.50 m along there.');
    expect(pull.onTyped({ along_m: 3.25 })).toBeNull();
    await settle();
    expect(bench.asked.at(-1)).toMatchObject({ at: [3.25, 0], turn: { along_deg: 90 } });
    expect(bench.edits).toHaveLength(1);
  });
  test('typed with a bearing it leaves its wall as it is turned', () => {
    const bench = garden();
    const pull = new Pull(bench, 'g', 'at');
    bench.start(pull);
    pull.onPointerMove(at(0.3, 4));
    expect(pull.onTyped({ length_m: 3, angle_deg: 180 })).toBeNull();
    expect(bench.asked.at(-1)).not.toHaveProperty('turn');
  });
  test('pulls its end freely', () => {
    const bench = garden();
    const pull = new Pull(bench, 'g', 'end');
    bench.start(pull);
    pull.onPointerMove(at(2.9, 0.2));
    expect(bench.asked.at(-1)).not.toHaveProperty('turn');
  });
  test('held anywhere it goes along its wall and turns about its middle', () => {
    const bench = garden();
    const move = new Move(bench, ['g']);
    bench.start(move);
    move.onPointerDown(at(2.2, 0));
    move.onPointerMove(at(6.2, 0.3));
    expect(bench.asked.at(-1)).toMatchObject({ to: 'move', moves: [{ id: 'g', dx: 4, dy: 0, turn_deg: 0, about: [2, 0] }] });
    move.onPointerMove(at(0.3, 5));
    const [by] = (bench.asked.at(-1) as { moves: { dx: number; dy: number; turn_deg: number }[] }).moves;
    expect([by!.dx, by!.turn_deg]).toEqual([-2, -90]);
  });
  test('put in anew it sits whole in its wall too', () => {
    const bench = garden();
    const put = new Placed(bench, kind('gate'));
    bench.start(put);
    put.onPointerMove(at(7.95, 0.2));
    expect(bench.asked.at(-1)).toMatchObject({ to: 'put', feature: { at: [7.55, 0], along_deg: 90, width: 0.9 } });
    expect(put.onTyped({ along_m: 7.8 })).toBe('Its middle can be from 0.45 m to 7.55 m along there.');
    expect(put.onTyped({ length_m: 9 })).toBeNull();
    expect(put.onTyped({ along_m: 4 })).toBe('That wall is too short.');
  });
});
