import { expect, test } from 'vitest';
import type { Word } from './word';
import { drawWords, meet, places } from './words';
import type { Pens } from './draw';

const drawn: string[] = [];
const pen = { font: '', measureText: (text: string) => ({ width: text.length * 7 }), save() {}, restore() {}, translate() {}, rotate() {}, strokeText() {}, fillText: (text: string, _x: number, y: number) => drawn.push(`${text} ${Math.round(y)}`) };
const pens = { pen, camera: { at: [0, 0], scale: 10, wide: 400, high: 400 }, palette: { font: 'x', paper: '', text: 1 }, dpr: 1 } as unknown as Pens;
const word = (text: string, at: [number, number], rank = 1): Word => ({ text, at, colour: '', px: 12, anchor: 'middle', rotate_deg: 0, rank });

test('the more important word keeps its place, the next gives way, the last is left out', () => {
  drawn.length = 0;
  drawWords(pens, [word('tap', [0, 0], 3), word('door', [0, 0], 2), word('terrace', [0, 0], 1), word('stone', [0, 0], 4)]);
  expect(drawn).toEqual(['terrace 0', 'door 15', 'tap -15']);
});
test('words keep off numbered marks', () => {
  drawn.length = 0;
  drawWords(pens, [word('green', [0, 0], 1), word('bench', [8, 0], 1)], [[0, 0]]);
  expect(drawn).toEqual(['green 15', 'bench 0']);
});
test('a floor named as its room is named once, two taps twice', () => {
  drawn.length = 0;
  drawWords(pens, [word('terrace', [0, 0], 1), word('terrace', [4, 0], 3), word('terrace', [18, 0], 3), word('tap', [0, -4], 3), word('tap', [4, -4], 3)]);
  expect(drawn).toEqual(['terrace 0', 'terrace 0', 'tap 0', 'tap 0']);
});
test('words out of view take no room', () => {
  drawn.length = 0;
  drawWords(pens, [word('far', [900, 0], 1), word('near', [0, 0], 2)]);
  expect(drawn).toEqual(['near 0']);
});
test('a word beside a point may change sides', () => {
  const sides = places({ anchor: 'start', px: 12, rotate_deg: 0 }, 100, 100, 50).map((p) => p.anchor);
  expect(sides).toEqual(['start', 'start', 'start', 'end', 'end', 'end']);
});
test('boxes that touch don’t meet', () => {
  expect(meet([0, 0, 10, 10], [10, 0, 20, 10])).toBe(false);
  expect(meet([0, 0, 10, 10], [9, 9, 20, 20])).toBe(true);
});

test('a word that would be cut off at the edge stands on the other side of its point', () => {
  drawn.length = 0;
  const sides: string[] = [];
  const noting = { ...pens, pen: Object.assign(Object.create(pen) as typeof pen, { fillText: () => sides.push((noting.pen as unknown as { textAlign: string }).textAlign) }) } as unknown as Pens;
  drawWords(noting, [{ ...word('street at the drive', [14, 0]), anchor: 'start' }, { ...word('gate', [0, 8]), anchor: 'start' }]);
  expect(sides).toEqual(['end', 'start']);
});

test('words are as large as the person has text in their browser, and take that room', () => {
  const fonts: string[] = [];
  const large = { ...pens, palette: { font: 'x', paper: '', text: 2 }, pen: Object.assign(Object.create(pen) as typeof pen, { fillText: () => fonts.push((large.pen as unknown as { font: string }).font) }) } as unknown as Pens;
  drawWords(large, [word('tap', [0, 0]), word('door', [0, 1.6])]);
  expect(fonts).toEqual(['600 24px x', '600 24px x']);
  drawn.length = 0;
  drawWords(pens, [word('tap', [0, 0]), word('door', [0, 1.6])]);
  const ordinary = [...drawn];
  drawn.length = 0;
  drawWords({ ...pens, palette: { font: 'x', paper: '', text: 2 } } as unknown as Pens, [word('tap', [0, 0]), word('door', [0, 1.6])]);
  expect([ordinary, drawn]).toEqual([['tap 0', 'door 0'], ['tap 0', 'door -31']]);
});
