import { describe, expect, test } from 'vitest';
import type { Bounds, XY } from '../api/types';
import { distance } from '../geometry/points';
import { evenly, inLine } from './arrange';
import { at, FakeBench, kind, settle } from './bench.fake';
import { Drawn } from './drawn';
import type { Gesture } from './gesture';
import { Move } from './move';
import { PickOne, type Picked } from './pick';
import { Placed } from './placed';
import { Pull } from './pull';
import { halves, joined, joinEdit, Split } from './split';
import { Tape } from './tape';
import { Turn } from './turn';

const hedge = (id: string, ...line: number[][]): Record<string, unknown> => ({ id, kind: 'hedge', line });
const tree = (id: string, x: number, y: number): Record<string, unknown> => ({ id, kind: 'tree', at: [x, y] });
const value = (bench: FakeBench): Record<string, unknown> => bench.edits[0]!.ops[0]!.value as Record<string, unknown>;

describe('drawing along a line', () => {
  test('pointed, then typed exactly', async () => {
    const bench = new FakeBench();
    const gesture = new Drawn(bench, kind('hedge'));
    bench.start(gesture);
    gesture.onPointerUp(at(2, 3));
    gesture.onPointerMove(at(5, 3.05));
    expect(bench.live.mark?.words).toBe('east–west');
    expect(gesture.onTyped({ length_m: 4.25 })).toBeNull();
    expect(gesture.onTyped({ length_m: 2, angle_deg: 90, relative: true })).toBeNull();
    gesture.onComplete();
    await settle();
    expect(value(bench)).toMatchObject({ kind: 'hedge', id: 'hedge-1', there_from: '2028-03', line: [[2, 3], [6.25, 3], [6.25, 1]] });
    expect(bench.runner.current?.name).toBe('resting');
    expect(bench.chosen).toEqual(['hedge-1']);
  });
  test('what is usually there already is put in as there from the start', async () => {
    const bench = new FakeBench();
    const known = kind('hedge');
    const gesture = new Drawn(bench, { ...known, place: { ...known.place, there: true } });
    bench.start(gesture);
    gesture.onPointerUp(at(2, 3));
    gesture.onPointerUp(at(5, 3));
    gesture.onComplete();
    await settle();
    expect(value(bench)).toMatchObject({ there_from: 'start' });
  });
  test('finished twice before it is kept, it is put in once', async () => {
    const bench = new FakeBench();
    const gesture = new Drawn(bench, kind('hedge'));
    bench.start(gesture);
    gesture.onPointerUp(at(2, 3));
    gesture.onPointerUp(at(5, 3));
    gesture.onPointerUp(at(5, 3)); // the second click of two at the last point finishes it
    gesture.onDouble(); // and so does the two together
    gesture.onComplete();
    await settle();
    expect(bench.edits.length).toBe(1);
  });
  test('too few points is said, not kept', () => {
    const bench = new FakeBench();
    const gesture = new Drawn(bench, kind('lawn'));
    bench.start(gesture);
    gesture.onPointerUp(at(0, 0));
    gesture.onPointerUp(at(5, 0));
    gesture.onComplete();
    expect(bench.edits).toEqual([]);
    expect(bench.notes[0]).toMatch(/needs 3 points; there are 2/);
  });
  test('an outline closes on its first corner', async () => {
    const bench = new FakeBench();
    const gesture = new Drawn(bench, kind('lawn'));
    bench.start(gesture);
    for (const [x, y] of [[0, 0], [5, 0], [5, 4], [0.05, 0.05]] as const) gesture.onPointerUp(at(x, y));
    await settle();
    expect(value(bench)['outline']).toEqual([[0, 0], [5, 0], [5, 4]]);
  });
  test('a line that comes back to its start keeps its last side', async () => {
    const round = async (closes: string | null): Promise<Record<string, unknown>> => {
      const bench = new FakeBench();
      const hedge = kind('hedge');
      const gesture = new Drawn(bench, { ...hedge, place: { ...hedge.place, closes } });
      bench.start(gesture);
      for (const [x, y] of [[0, 0], [5, 0], [5, 4], [0.05, 0.05]] as const) gesture.onPointerUp(at(x, y));
      await settle();
      return value(bench);
    };
    expect(await round('closed')).toMatchObject({ closed: true, line: [[0, 0], [5, 0], [5, 4]] });
    expect(await round(null)).toMatchObject({ line: [[0, 0], [5, 0], [5, 4], [0, 0]] });
  });
  test('one back', () => {
    const bench = new FakeBench();
    const gesture = new Drawn(bench, kind('hedge'));
    bench.start(gesture);
    gesture.onPointerUp(at(0, 0));
    expect(gesture.onBack()).toBe(true);
    expect(gesture.onBack()).toBe(false);
  });
  test('a length needs a start and a way', () => {
    const bench = new FakeBench();
    const gesture = new Drawn(bench, kind('hedge'));
    bench.start(gesture);
    expect(gesture.onTyped({ length_m: 3 })).toMatch(/start/);
    gesture.onPointerUp(at(0, 0));
    expect(gesture.onTyped({ length_m: 3 })).toMatch(/which way/);
    expect(gesture.onTyped({ length_m: -3, angle_deg: 0 })).toMatch(/above nothing/);
  });
  test('the preview is asked with the point under the pointer, and drawn', () => {
    const bench = new FakeBench();
    const gesture = new Drawn(bench, kind('hedge'));
    bench.start(gesture);
    gesture.onPointerUp(at(0, 0));
    gesture.onPointerMove(at(4, 3));
    expect(bench.asked.at(-1)).toMatchObject({ to: 'put', feature: { line: [[0, 0], [4, 3]] } });
    gesture.onPreview({ fields: {}, figures: [{ t: 'path', points: [[0, 0], [4, 3]], role: 'grown', owner: 'hedge-1' }], verdicts: [] });
    expect(bench.live.figures[0]).toMatchObject({ role: 'grown' });
  });
});

describe('placing', () => {
  test('a gate finds its wall, takes its bearing, and can be typed along it', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    const gesture = new Placed(bench, kind('gate'));
    bench.start(gesture);
    gesture.onPointerMove(at(3, 0.2));
    expect(bench.live.mark?.words).toBe('in h, 3.00 m along');
    expect(gesture.onTyped({ length_m: 1.1 })).toBeNull();
    expect(gesture.onTyped({ along_m: 2.5 })).toBeNull();
    await settle();
    expect(value(bench)).toMatchObject({ at: [2.5, 0], along_deg: 90, width: 1.1 });
  });
  test('a gate holds to the middle of its wall', () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    const gesture = new Placed(bench, kind('gate'));
    bench.start(gesture);
    gesture.onPointerMove(at(4.1, 0.1));
    expect(bench.live.mark?.words).toMatch(/in its middle/);
  });
  test('a box is placed, then turned, in steps of 15°', async () => {
    const bench = new FakeBench();
    const gesture = new Placed(bench, kind('greenhouse'));
    bench.start(gesture);
    gesture.onTyped({ length_m: 4, second_m: 3 });
    gesture.onPointerUp(at(10, 10));
    expect(bench.edits).toEqual([]);
    gesture.onPointerUp(at(15, 10.1));
    await settle();
    expect(value(bench)).toMatchObject({ at: [10, 10], facing_deg: 90, width: 4, depth: 3 });
  });
  test('a tree needs one touch', async () => {
    const bench = new FakeBench();
    bench.start(new Placed(bench, kind('tree')));
    bench.runner.current!.onPointerUp(at(1, 2));
    await settle();
    expect(value(bench)).toMatchObject({ at: [1, 2] });
  });
});

describe('changing', () => {
  test('a handle is pulled, previewed and kept with what the program answered', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    bench.chosen = ['h'];
    const gesture = new Pull(bench, 'h', 'line.1');
    bench.start(gesture);
    gesture.onPointerMove(at(9, 0.01));
    expect(bench.asked).toHaveLength(1);
    gesture.onPointerUp();
    await settle();
    expect(bench.edits[0]!.ops[0]).toMatchObject({ do: 'change', id: 'h', value: { pulled: 'line.1' } });
  });
  test('a typed length measures from the handle before', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    const gesture = new Pull(bench, 'h', 'line.1');
    bench.start(gesture);
    expect(gesture.onTyped({ length_m: 6.5 })).toBeNull();
    await settle();
    expect(bench.asked[0]).toMatchObject({ at: [6.5, 0] });
    expect(bench.edits).toHaveLength(1);
  });
  test('dropped before the answer: waits for the answer to the last place', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    bench.answersAtOnce = false;
    const gesture = new Pull(bench, 'h', 'line.1');
    bench.start(gesture);
    gesture.onPointerMove(at(8.7, 1));
    gesture.onPointerMove(at(9.4, 1));
    gesture.onPointerUp();
    await settle();
    gesture.onPreview(bench.preview(bench.asked[0]!), bench.asked[0]!);
    await settle();
    expect(bench.edits).toEqual([]);
    gesture.onPreview(bench.preview(bench.asked[1]!), bench.asked[1]!);
    await settle();
    expect(bench.edits[0]!.ops[0]!.value).toMatchObject({ to: [9.4, 1] });
  });
  test('what is built asks first, and is left when the person says so', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    bench.builtIds.add('h');
    bench.agree = false;
    const gesture = new Move(bench, ['h']);
    bench.start(gesture);
    gesture.onTyped({ length_m: 1, angle_deg: 0 });
    await settle();
    expect(bench.questions[0]).toMatch(/stands already/);
    expect(bench.edits).toEqual([]);
    expect(bench.runner.current?.name).toBe('resting');
  });
  test('a move by length and bearing', async () => {
    const bench = new FakeBench([tree('t', 0, 0)]);
    const gesture = new Move(bench, ['t']);
    bench.start(gesture);
    expect(gesture.onTyped({ length_m: 2 })).toMatch(/which way/);
    gesture.onTyped({ length_m: 2, angle_deg: 90 });
    await settle();
    const ask = bench.asked[0];
    expect(ask?.to === 'move' ? ask.moves[0]!.dx : 0).toBeCloseTo(2, 2);
    expect(bench.edits[0]!.ops[0]).toMatchObject({ do: 'change', id: 't' });
  });
  test('by touch, a tap says where its middle goes', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    const gesture = new Move(bench, ['h']);
    bench.start(gesture);
    gesture.onPointerDown(at(4, 6, { touch: true }));
    gesture.onPointerMove(at(4, 6.01, { touch: true }));
    gesture.onPointerUp(at(4, 6.01, { touch: true }));
    await settle();
    const ask = bench.asked.at(-1);
    expect(ask?.to === 'move' ? ask.moves[0]!.dy : 0).toBeCloseTo(6, 1);
    expect(bench.edits).toHaveLength(1);
  });
  test('by touch, a tap on the thing holds it there and the next says where that goes', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    const gesture = new Move(bench, ['h']);
    bench.start(gesture);
    for (const [x, y] of [[5, 0], [5, -7]] as const) {
      expect(bench.edits).toEqual([]);
      gesture.onPointerDown(at(x, y, { touch: true }));
      gesture.onPointerUp(at(x, y, { touch: true }));
      await settle();
    }
    const ask = bench.asked.at(-1);
    expect(ask?.to === 'move' ? [ask.moves[0]!.dx, ask.moves[0]!.dy] : []).toEqual([expect.closeTo(0, 1), expect.closeTo(-7, 1)]);
    expect(bench.edits).toHaveLength(1);
  });
  test('a copy is a new thing; the first stays', async () => {
    const bench = new FakeBench([tree('t', 0, 0)]);
    const gesture = new Move(bench, ['t'], true);
    bench.start(gesture);
    gesture.onTyped({ length_m: 3, angle_deg: 0 });
    await settle();
    expect(bench.edits[0]!.ops[0]).toMatchObject({ do: 'put', id: 'tree-1' });
    expect(bench.chosen).toEqual(['tree-1']);
  });
  test('a turn holds to steps, and takes an exact angle', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    const gesture = new Turn(bench, ['h']);
    bench.start(gesture);
    gesture.onPointerMove(at(4, 5));
    gesture.onPointerMove(at(9, 0.2));
    const ask = bench.asked.at(-1);
    expect(ask?.to === 'move' ? ask.moves[0]!.turn_deg : 0).toBe(90);
    gesture.onTyped({ angle_deg: 33.5 });
    await settle();
    expect(bench.edits[0]!.ops[0]!.value).toEqual({ moved: [0, 0, 33.5] });
  });
});

describe('Escape', () => {
  test.each([
    ['drawn', (b: FakeBench) => new Drawn(b, kind('hedge'))], ['placed', (b: FakeBench) => new Placed(b, kind('tree'))], ['move', (b: FakeBench) => new Move(b, ['h'])],
    ['pull', (b: FakeBench) => new Pull(b, 'h', 'line.0')], ['turn', (b: FakeBench) => new Turn(b, ['h'])], ['tape', (b: FakeBench) => new Tape(b)], ['split', (b: FakeBench) => new Split(b, 'h')],
  ])('cancels %s and leaves nothing behind', async (name, make) => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    const gesture = make(bench);
    bench.start(gesture);
    expect(bench.runner.current?.name).toBe(name);
    gesture.onPointerDown(at(1, 1));
    gesture.onPointerMove(at(2, 2));
    bench.runner.cancel();
    await settle();
    expect(bench.edits).toEqual([]);
    expect(bench.live.figures).toEqual([]);
    expect(bench.live.hidden.size).toBe(0);
    expect(bench.runner.busy).toBe(false);
  });
  test('one gesture at a time: a second cancels the first', () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    let told: Picked | null | undefined;
    bench.start(new PickOne(bench, 'room', '', (picked) => (told = picked)));
    bench.start(new Tape(bench));
    expect(told).toBeNull();
    expect(bench.runner.current?.name).toBe('tape');
  });
});

describe('what the program refuses', () => {
  const makers: [string, (b: FakeBench) => Gesture][] = [
    ['move', (b) => new Move(b, ['h'])], ['pull', (b) => new Pull(b, 'h', 'line.0')], ['turn', (b) => new Turn(b, ['h'])],
  ];
  test.each(makers)('a %s that is refused while it is held asks once more when let go, and then lets go', (_name, make) => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    bench.answersAtOnce = false;
    const gesture = make(bench);
    bench.start(gesture);
    gesture.onPointerDown(at(0, 1));
    gesture.onPointerMove(at(1, 2));
    gesture.onPointerMove(at(2, 4));
    gesture.onRefused('It is no longer there.');
    expect(bench.runner.busy).toBe(true);
    const before = bench.asked.length;
    gesture.onPointerUp(at(2, 4));
    expect(bench.asked.length).toBeGreaterThan(before);
    gesture.onRefused('It is no longer there.');
    expect(bench.runner.busy).toBe(false);
    expect(bench.notes).toEqual(['It is no longer there.']);
    expect(bench.edits).toEqual([]);
  });
});

describe('resting', () => {
  const bench = (): FakeBench => {
    const b = new FakeBench([tree('t', 5, 5), hedge('h', [0, 0], [8, 0])]);
    b.rest();
    return b;
  };
  const click = (b: FakeBench, x: number, y: number, more = {}): void => {
    b.runner.current!.onPointerDown(at(x, y, more));
    b.runner.current!.onPointerUp(at(x, y, more));
  };
  test('a click chooses, a click on nothing lets go', () => {
    const b = bench();
    click(b, 5, 5);
    expect(b.chosen).toEqual(['t']);
    click(b, 30, 30);
    expect(b.chosen).toEqual([]);
  });
  test('with shift several are chosen', () => {
    const b = bench();
    click(b, 5, 5);
    click(b, 4, 0, { shift: true });
    expect(b.chosen).toEqual(['t', 'h']);
    click(b, 5, 5, { shift: true });
    expect(b.chosen).toEqual(['h']);
  });
  test('a finger that chooses several adds and takes away, and moves nothing', () => {
    const b = bench();
    click(b, 5, 5);
    b.several = true;
    click(b, 4, 0);
    click(b, 30, 30);
    expect(b.chosen).toEqual(['t', 'h']);
    b.runner.current!.onPointerDown(at(5, 5));
    b.runner.current!.onPointerMove(at(7, 5));
    b.runner.current!.onPointerUp(at(7, 5));
    expect([b.asked, b.edits, b.runner.current!.name]).toEqual([[], [], 'resting']);
    click(b, 5, 5);
    expect(b.chosen).toEqual(['h']);
  });
  test('a drag on nothing slides the sheet; on what is chosen it moves', () => {
    const b = bench();
    b.runner.current!.onPointerDown(at(30, 30));
    b.runner.current!.onPointerMove(at(31, 30));
    expect(b.panned).toHaveLength(1);
    b.runner.current!.onPointerUp(at(31, 30));
    b.chosen = ['h'];
    b.runner.current!.onPointerDown(at(4, 0));
    b.runner.current!.onPointerMove(at(5, 0));
    expect(b.runner.current!.name).toBe('move');
  });
  test('a drag on a handle pulls it, with shift on nothing it draws a band', () => {
    const b = bench();
    b.chosen = ['h'];
    b.runner.current!.onPointerDown(at(8, 0));
    b.runner.current!.onPointerMove(at(9, 0));
    expect(b.runner.current!.name).toBe('pull');
    const c = bench();
    c.runner.current!.onPointerDown(at(-3, -3, { shift: true }));
    c.runner.current!.onPointerMove(at(20, 20, { shift: true }));
    c.runner.current!.onPointerUp(at(20, 20, { shift: true }));
    expect([...c.chosen].sort()).toEqual(['h', 't']);
  });
});

describe('split and join', () => {
  const line: XY[] = [[0, 0], [8, 0], [8, 4]];
  test('a line is cut in two', () => {
    expect(halves(line, [3, 0.2])).toMatchObject({ at: [3, 0], along: 3, first: [[0, 0], [3, 0]], second: [[3, 0], [8, 0], [8, 4]] });
    expect(halves(line, [8, 0])).toMatchObject({ first: [[0, 0], [8, 0]], second: [[8, 0], [8, 4]] });
    expect(halves(line, [0, 0])).toBeNull();
  });
  test('halves join to the line again, whichever way they run', () => {
    const { first, second } = halves(line, [3, 0])!;
    for (const a of [first, [...first].reverse()]) for (const b of [second, [...second].reverse()]) {
      const one = joined(a, b)!;
      expect(one.length).toBe(3);
      expect(distance(one[0]!, [0, 0]) < 1e-9 || distance(one[0]!, [8, 4]) < 1e-9).toBe(true);
    }
    expect(joined([[0, 0], [1, 0]], [[3, 0], [4, 0]])).toBeNull();
  });
  test('a typed distance cuts exactly', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    const gesture = new Split(bench, 'h');
    bench.start(gesture);
    expect(gesture.onTyped({ length_m: 99 })).toMatch(/8\.00 m long/);
    expect(gesture.onTyped({ length_m: 2.5 })).toBeNull();
    await settle();
    expect(bench.edits[0]!.ops).toMatchObject([{ do: 'change', value: { line: [[0, 0], [2.5, 0]] } }, { do: 'put', id: 'hedge-1', value: { line: [[2.5, 0], [8, 0]] } }]);
  });
  test('what makes the one makes both', async () => {
    const bench = new FakeBench([hedge('h', [0, 0], [8, 0])]);
    bench.jobs = [{ id: 'plant', does: ['other', 'h'] }, { id: 'dig', does: ['pond'] }];
    const gesture = new Split(bench, 'h');
    bench.start(gesture);
    gesture.onTyped({ length_m: 2.5 });
    await settle();
    expect(bench.edits[0]!.ops.slice(2)).toEqual([{ do: 'change', part: 'jobs', id: 'plant', value: { does: ['other', 'h', 'hedge-1'] } }]);
  });
  test('joining says why it can’t', () => {
    const bench = new FakeBench([hedge('a', [0, 0], [2, 0]), hedge('b', [2, 0], [5, 0]), hedge('c', [9, 9], [10, 9]), tree('t', 0, 0)]);
    expect(joinEdit(bench, ['a', 't'])).toMatch(/one kind/);
    expect(joinEdit(bench, ['a', 'c'])).toMatch(/don’t meet/);
    expect(joinEdit(bench, ['a'])).toMatch(/two/);
    expect(joinEdit(bench, ['a', 'b'])).toMatchObject({ ops: [{ do: 'change', id: 'a', value: { line: [[0, 0], [5, 0]] } }, { do: 'remove', id: 'b' }] });
  });
});

test('a tape measures and keeps nothing', () => {
  const bench = new FakeBench();
  const gesture = new Tape(bench);
  bench.start(gesture);
  gesture.onPointerUp(at(0, 0));
  gesture.onPointerMove(at(3, 4, { alt: true }));
  expect(bench.said.size).toMatch(/5\.00 m, 36\.9° north-east/);
  gesture.onComplete();
  expect(bench.edits).toEqual([]);
});

test('a blank is filled by touching', () => {
  const bench = new FakeBench([tree('t', 5, 5)]);
  const told: (string | undefined)[] = [];
  bench.start(new PickOne(bench, 'spot', '', (p) => told.push(p?.id)));
  bench.runner.current!.onPointerUp(at(5, 5));
  expect(bench.notes[0]).toMatch(/nothing here/);
  bench.runner.current!.onPointerUp(at(50.1, 50));
  expect(told).toEqual(['door']);
});

describe('arranging', () => {
  const boxes: Bounds[] = [[0, 0, 2, 2], [5, 1, 6, 4], [9, -1, 12, 1]];
  const after = (shifts: XY[]): Bounds[] => boxes.map((b, i) => [b[0] + shifts[i]![0], b[1] + shifts[i]![1], b[2] + shifts[i]![0], b[3] + shifts[i]![1]]);
  test('in line with the first', () => {
    expect(after(inLine(boxes, 'south')).map((b) => b[1])).toEqual([0, 0, 0]);
    expect(after(inLine(boxes, 'east')).map((b) => b[2])).toEqual([2, 2, 2]);
    expect(after(inLine(boxes, 'middle-ew')).map((b) => (b[1] + b[3]) / 2)).toEqual([1, 1, 1]);
  });
  test('evenly: equal gaps, the outermost stay', () => {
    const spread = after(evenly(boxes));
    expect(spread[1]![0] - spread[0]![2]).toBeCloseTo(spread[2]![0] - spread[1]![2], 9);
    expect([spread[0]![0], spread[2]![2]]).toEqual([0, 12]);
  });
});
