/** Words on the sheet without a jumble: the most important first, each where it hides no other, or not at all. */
import type { XY } from '../api/types';
import { toScreen, view } from './camera';
import { label, type Pens } from './draw';
import type { Word } from './word';

export type Box = readonly [number, number, number, number];
const MOST = 500;
const AIR = 2;
const widths = new Map<string, number>();

function wide(pens: Pens, text: string, px: number): number {
  const key = `${pens.palette.font} ${px} ${text}`;
  let width = widths.get(key);
  if (width === undefined) {
    pens.pen.font = `600 ${px}px ${pens.palette.font}`;
    width = pens.pen.measureText(text).width;
    if (widths.size > 4000) widths.clear();
    widths.set(key, width);
  }
  return width;
}
/** Forget measured widths: the typeface has just arrived. */
export const forgetWidths = (): void => widths.clear();

export const meet = (a: Box, b: Box): boolean => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];

/** The places a word may take: where it is wanted, then a line up or down, and for a word beside a point the other side. */
export function places(word: Pick<Word, 'anchor' | 'px' | 'rotate_deg'>, x: number, y: number, width: number): { box: Box; dy: number; anchor: Word['anchor'] }[] {
  const half = word.px * 0.62;
  const upright = Math.abs(Math.sin((word.rotate_deg * Math.PI) / 180)) > 0.5;
  const box = (dy: number, anchor: Word['anchor']): Box => {
    if (upright) return [x - half, y - width / 2 + dy, x + half, y + width / 2 + dy];
    const left = anchor === 'start' ? x : anchor === 'end' ? x - width : x - width / 2;
    return [left - AIR, y - half + dy, left + width + AIR, y + half + dy];
  };
  const steps = word.rotate_deg === 0 ? [0, word.px * 1.28, -word.px * 1.28] : [0];
  const anchors: Word['anchor'][] = word.anchor === 'start' ? ['start', 'end'] : [word.anchor];
  return anchors.flatMap((anchor) => steps.map((dy) => ({ box: box(dy, anchor), dy, anchor })));
}

/** A name isn't said again nearer than this below a word that counts for more: a room and its floor often share one. */
const AGAIN_PX = 130;
/** Half of the place a numbered mark takes. */
const MARK_PX = 7;

/** Draw words in order of their rank, off the numbered `marks`; `lift` raises those that stand beside a point. */
export function drawWords(pens: Pens, words: readonly Word[], marks: readonly XY[] = []): void {
  const [x0, y0, x1, y1] = view(pens.camera);
  const seen = words.filter(({ at: [x, y] }) => x > x0 && x < x1 && y > y0 && y < y1);
  const taken = marks.map((at): Box => {
    const { px, py } = toScreen(pens.camera, at);
    return [px - MARK_PX, py - MARK_PX, px + MARK_PX, py + MARK_PX];
  });
  const order = seen.map((word, i) => ({ word, i })).sort((a, b) => a.word.rank - b.word.rank || a.i - b.i);
  const said: { word: Word; px: number; py: number }[] = [];
  const { text } = pens.palette;
  for (const { word } of order.slice(0, MOST)) {
    const s = toScreen(pens.camera, word.at);
    if (said.some((one) => one.word.text === word.text && one.word.rank < word.rank && Math.hypot(one.px - s.px, one.py - s.py) < AGAIN_PX)) continue;
    const lift = word.anchor === 'start' ? -10 : 0;
    const px = word.px * text;
    const width = wide(pens, word.text, px);
    const open = places({ ...word, px }, s.px, s.py + lift, width).filter(({ box }) => !taken.some((other) => meet(box, other)));
    // Whole where it can be, else cut off by the edge of the sheet.
    const free = open.find(({ box }) => box[0] >= 0 && box[2] <= pens.camera.wide) ?? open[0];
    if (!free) continue;
    taken.push(free.box);
    said.push({ word, px: s.px, py: s.py });
    label(pens, word.text, word.at, word.colour, word.px, free.anchor, word.rotate_deg, lift + free.dy);
  }
}
