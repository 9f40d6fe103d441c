/** What lies over the garden while someone works: what is chosen, handles, guides, the word beside the pointer. */
import type { Handle, NamedPoint, Scene, XY } from '../api/types';
import { toScreen } from './camera';
import { label, type Pens } from './draw';

export function drawGuides(pens: Pens, guides: readonly (readonly [XY, XY])[]): void {
  const { pen, camera, palette } = pens;
  pen.setLineDash([2, 4]);
  pen.strokeStyle = palette.snap;
  pen.lineWidth = 1.2;
  pen.beginPath();
  for (const [a, b] of guides) {
    const [s, e] = [toScreen(camera, a), toScreen(camera, b)];
    pen.moveTo(s.px, s.py);
    pen.lineTo(e.px, e.py);
  }
  pen.stroke();
  pen.setLineDash([]);
}

export function drawChosen(pens: Pens, rings: readonly (readonly XY[])[]): void {
  const { pen, camera, palette } = pens;
  pen.strokeStyle = palette.chosen;
  pen.lineWidth = 2;
  pen.setLineDash([7, 3]);
  for (const ring of rings) {
    pen.beginPath();
    ring.forEach((p, i) => {
      const s = toScreen(camera, p);
      if (i === 0) pen.moveTo(s.px, s.py);
      else pen.lineTo(s.px, s.py);
    });
    pen.closePath();
    pen.stroke();
  }
  pen.setLineDash([]);
}

/** Handles are small rings; those that slide on a line only are bars across it. */
export function drawHandles(pens: Pens, handles: readonly Handle[], size = 5.5): void {
  const { pen, camera, palette } = pens;
  pen.lineWidth = 2;
  for (const handle of handles) {
    const s = toScreen(camera, handle.at);
    pen.beginPath();
    if (handle.along_deg === null || handle.along_deg === undefined) pen.arc(s.px, s.py, size, 0, 2 * Math.PI);
    else {
      const a = (handle.along_deg * Math.PI) / 180;
      const [x, y] = [Math.cos(a) * size * 1.7, Math.sin(a) * size * 1.7];
      pen.moveTo(s.px - x, s.py - y);
      pen.lineTo(s.px + x, s.py + y);
      pen.lineWidth = 6;
      pen.strokeStyle = palette.chosen;
      pen.stroke();
      pen.lineWidth = 2.5;
      pen.strokeStyle = palette.paper;
      pen.stroke();
      pen.lineWidth = 2;
      continue;
    }
    pen.fillStyle = palette.paper;
    pen.fill();
    pen.strokeStyle = palette.chosen;
    pen.stroke();
  }
}

/** Where the pointer has snapped to, and the word that says so. */
export function drawMark(pens: Pens, mark: { at: XY; words: string }): void {
  const { pen, camera, palette } = pens;
  const s = toScreen(camera, mark.at);
  pen.strokeStyle = palette.snap;
  pen.lineWidth = 1.6;
  pen.beginPath();
  pen.arc(s.px, s.py, 4, 0, 2 * Math.PI);
  pen.stroke();
  if (!mark.words) return;
  const text = palette.text;
  pen.font = `600 ${13 * text}px ${palette.font}`;
  const wide = pen.measureText(mark.words).width;
  const left = s.px + 14 + wide + 12 > camera.wide ? s.px - 26 - wide : s.px + 14;
  const high = 21 * text;
  const top = s.py < high + 13 ? s.py + 12 : s.py - 9 - high;
  pen.fillStyle = palette.ink;
  pen.beginPath();
  pen.roundRect(left, top, wide + 12, high, 3);
  pen.fill();
  pen.fillStyle = palette.paper;
  pen.textAlign = 'start';
  pen.textBaseline = 'middle';
  pen.fillText(mark.words, left + 6, top + 11 * text);
}

export function drawCross(pens: Pens, at: XY): void {
  const { pen, camera, palette } = pens;
  const s = toScreen(camera, at);
  pen.strokeStyle = palette.ink;
  pen.lineWidth = 1.2;
  pen.beginPath();
  for (const [x, y] of [[1, 0], [-1, 0], [0, 1], [0, -1]] as const) {
    pen.moveTo(s.px + x * 5, s.py + y * 5);
    pen.lineTo(s.px + x * 18, s.py + y * 18);
  }
  pen.stroke();
}

/** Spots and stakes: what people name and measure from. */
/** Size of a note's leaf on the sheet, at ordinary text [px]. */
const PIN_PX = 15;

export function drawNamed(pens: Pens, scene: Pick<Scene, 'spots' | 'stakes' | 'pins' | 'pegs'>): void {
  const { pen, camera, palette } = pens;
  const each = (list: readonly NamedPoint[], draw: (px: number, py: number) => void, from: number): void => {
    for (const item of list) {
      const s = toScreen(camera, item.at);
      draw(s.px, s.py);
      if (camera.scale > from) pens.words?.push({ text: item.name, at: item.at, colour: palette.roles.datum.word, px: 11, anchor: 'start', rotate_deg: 0, rank: 2 });
    }
  };
  pen.lineWidth = 1.4;
  each(scene.stakes, (x, y) => {
    pen.strokeStyle = palette.roles.datum.line;
    pen.beginPath();
    pen.moveTo(x - 4, y - 4);
    pen.lineTo(x + 4, y + 4);
    pen.moveTo(x + 4, y - 4);
    pen.lineTo(x - 4, y + 4);
    pen.stroke();
  }, 1.2);
  each(scene.spots, (x, y) => {
    pen.fillStyle = palette.roles.datum.line;
    pen.beginPath();
    pen.moveTo(x, y + 1);
    pen.lineTo(x - 4, y - 7);
    pen.lineTo(x + 4, y - 7);
    pen.closePath();
    pen.fill();
  }, 6.5);
  (scene.pins ?? []).forEach((pin, i) => drawPin(pens, pin, i + 1));
  for (const peg of scene.pegs ?? []) {
    drawPeg(pens, peg, '');
    if (camera.scale > 6.5) pens.words?.push({ text: peg.name, at: peg.at, colour: palette.roles.pin.word, px: 11, anchor: 'start', rotate_deg: 0, rank: 2 });
  }
}

/** A peg to photograph from: a square, and a line with a point the way the camera looks. */
export function drawPeg(pens: Pens, peg: { at: XY; bearing_deg: number }, words: string): void {
  const { pen, camera, palette } = pens;
  const { px, py } = toScreen(camera, peg.at);
  const [s, c] = [Math.sin((peg.bearing_deg * Math.PI) / 180), -Math.cos((peg.bearing_deg * Math.PI) / 180)];
  const tip = { x: px + 24 * s, y: py + 24 * c };
  pen.strokeStyle = pen.fillStyle = palette.roles.pin.line;
  pen.lineWidth = 1.6;
  pen.fillRect(px - 4, py - 4, 8, 8);
  pen.beginPath();
  pen.moveTo(px, py);
  pen.lineTo(tip.x, tip.y);
  for (const k of [-4, 4]) {
    pen.moveTo(tip.x - 7 * s + k * c, tip.y - 7 * c - k * s);
    pen.lineTo(tip.x, tip.y);
  }
  pen.stroke();
  if (words) label(pens, words, peg.at, palette.roles.pin.word, 12, 'start', 0, 14);
}

/** A note on a stalk: a leaf with the number of its list, its word beside it. */
function drawPin(pens: Pens, pin: NamedPoint, number: number): void {
  const { pen, camera, palette } = pens;
  const { px, py } = toScreen(camera, pin.at);
  const ink = palette.roles.pin;
  const size = PIN_PX * palette.text;
  pen.strokeStyle = ink.line;
  pen.lineWidth = 1.4;
  pen.beginPath();
  pen.moveTo(px, py);
  pen.lineTo(px, py - 6);
  pen.stroke();
  pen.fillStyle = ink.wash;
  pen.fillRect(px - size / 2, py - 6 - size, size, size);
  pen.strokeRect(px - size / 2, py - 6 - size, size, size);
  pen.fillStyle = ink.line;
  pen.font = `600 ${11 * palette.text}px ${palette.font}`;
  pen.textAlign = 'center';
  pen.textBaseline = 'middle';
  pen.fillText(String(number), px, py - 5.5 - size / 2);
  const beside: XY = [pin.at[0] + (size * 0.75) / camera.scale, pin.at[1] + (6 + size / 2) / camera.scale];
  if (camera.scale > 6.5) pens.words?.push({ text: pin.name, at: beside, colour: ink.word, px: 11, anchor: 'start', rotate_deg: 0, rank: 2 });
}

export function drawBand(pens: Pens, [a, b]: readonly [XY, XY]): void {
  const { pen, camera, palette } = pens;
  const [s, e] = [toScreen(camera, a), toScreen(camera, b)];
  pen.strokeStyle = palette.chosen;
  pen.lineWidth = 1.4;
  pen.setLineDash([5, 3]);
  pen.strokeRect(s.px, s.py, e.px - s.px, e.py - s.py);
  pen.setLineDash([]);
}
