/** Draws figures on a canvas: the big sheet, the small plans at the heads, evidence, previews. */
import type { AreaFigure, Bounds, DimensionFigure, Figure, PathFigure, Pattern, Role, TextFigure, Weight, Writing, XY } from '../api/types';
import { figureBounds, overlap, grown } from '../geometry/shapes';
import { writeLength } from '../words/length';
import { toScreen, view, type Camera } from './camera';
import { rankOf, type Palette } from './palette';
import type { Word } from './word';
import { patternFill } from './patterns';

export interface Pens { pen: CanvasRenderingContext2D; camera: Camera; palette: Palette; dpr: number; writing: Writing; plain?: boolean; bold?: boolean; bare?: boolean; named?: boolean; words?: Word[] }
export const WIDTHS: Record<Weight, number> = { fine: 0.7, thin: 1, normal: 1.5, thick: 2.6 };
/** A second mark beside colour for each room's wash. */
export const ROOM_PATTERNS: readonly Pattern[] = ['plain', 'dots', 'hatch', 'waves', 'cross', 'boards', 'tufts'];
const SIZES = { small: 11, normal: 13, large: 17 } as const;

const paths = new WeakMap<Figure, Path2D>();
const boxes = new WeakMap<Figure, Bounds>();

function boxOf(figure: Figure): Bounds {
  let box = boxes.get(figure);
  if (!box) boxes.set(figure, (box = figureBounds(figure)));
  return box;
}

function pathOf(figure: PathFigure | AreaFigure): Path2D {
  let path = paths.get(figure);
  if (path) return path;
  path = new Path2D();
  const rings = figure.t === 'path' ? [figure.points] : figure.rings;
  for (const ring of rings) {
    ring.forEach(([x, y], i) => (i === 0 ? path!.moveTo(x, y) : path!.lineTo(x, y)));
    if (figure.t === 'area' || figure.closed) path.closePath();
  }
  paths.set(figure, path);
  return path;
}

/** Figures in painting order: roles from the ground up, areas before lines before words within a role. */
export function inOrder(figures: readonly Figure[]): Figure[] {
  const part = { area: 0, path: 1, dimension: 2, text: 3 } as const;
  const rank = (f: Figure): number => (f.t === 'text' ? 1000 : f.t === 'dimension' ? 900 : rankOf(f.role) * 10 + part[f.t]);
  return figures.map((f, i) => ({ f, r: rank(f), i })).sort((a, b) => a.r - b.r || a.i - b.i).map(({ f }) => f);
}

/** Put the pen into metres: x east, y north. */
function metres({ pen, camera: c, dpr }: Pens): void {
  const k = c.scale * dpr;
  pen.setTransform(k, 0, 0, -k, (c.wide / 2) * dpr - c.at[0] * k, (c.high / 2) * dpr + c.at[1] * k);
}
function pixels({ pen, dpr }: Pens): void {
  pen.setTransform(dpr, 0, 0, dpr, 0, 0);
}

/** Draw figures that are already in painting order, leaving out those of `without` and those out of view. */
export function drawFigures(pens: Pens, figures: readonly Figure[], without?: ReadonlySet<string>): void {
  const seen = grown(view(pens.camera), 40 / pens.camera.scale);
  metres(pens);
  for (const figure of figures) {
    if (without?.has(figure.owner) || !overlap(boxOf(figure), seen)) continue;
    if (figure.t === 'area') drawArea(pens, figure);
    else if (figure.t === 'path') drawPath(pens, figure);
    else {
      if (!pens.plain) {
        pixels(pens);
        if (figure.t === 'text') drawText(pens, figure);
        else drawDimension(pens, figure);
        metres(pens);
      }
    }
  }
  pixels(pens);
}

function drawArea(pens: Pens, figure: AreaFigure): void {
  const { pen, palette, camera, dpr } = pens;
  const path = pathOf(figure);
  const ink = palette.roles[figure.role];
  if (pens.bare) {
    stroke(pens, path, figure.role, figure.weight ?? 'thin', false);
    return;
  }
  const n = figure.shade ?? -1;
  // Rooms are told apart by washes of different hue and by patterns; amounts by steps of one scale.
  const shade = n < 0 ? undefined : (figure.role === 'room' ? palette.rooms : palette.shades)[n];
  const pattern = figure.pattern && figure.pattern !== 'plain' ? figure.pattern : n > 0 && figure.role === 'room' ? ROOM_PATTERNS[n] : figure.pattern;
  pen.fillStyle = shade ?? ink.wash;
  pen.fill(path, 'evenodd');
  if (pattern && pattern !== 'plain' && !pens.plain) {
    const fill = patternFill(pen, pattern, ink.line, camera.scale * dpr, dpr);
    if (fill) {
      const alpha = pen.globalAlpha;
      pen.globalAlpha = alpha * 0.55;
      pen.fillStyle = fill;
      pen.fill(path, 'evenodd');
      pen.globalAlpha = alpha;
    }
  }
  if (figure.outline !== false) stroke(pens, path, figure.role, figure.weight ?? 'thin', false);
}

function stroke(pens: Pens, path: Path2D, role: Role, weight: Weight, dash: boolean): void {
  const { pen, camera, palette } = pens;
  const px = WIDTHS[weight] * (pens.bold ? 1.5 : 1) * (pens.plain ? 0.62 : 1);
  pen.lineWidth = px / camera.scale;
  pen.strokeStyle = palette.roles[role].line;
  pen.lineJoin = 'round';
  pen.lineCap = dash ? 'butt' : 'round';
  pen.setLineDash(dash ? [6 / camera.scale, 4 / camera.scale] : []);
  pen.stroke(path);
  if (dash) pen.setLineDash([]);
}

function drawPath(pens: Pens, figure: PathFigure): void {
  stroke(pens, pathOf(figure), figure.role, figure.weight ?? 'normal', figure.dash ?? false);
  const [a, b] = [figure.points.at(-2), figure.points.at(-1)];
  if (!figure.arrow || !a || !b || pens.plain) return;
  const { pen, camera, palette } = pens;
  const size = 9 / camera.scale;
  const turn = Math.atan2(b[1] - a[1], b[0] - a[0]);
  pen.beginPath();
  pen.moveTo(b[0], b[1]);
  for (const side of [0.4, -0.4]) pen.lineTo(b[0] - size * Math.cos(turn + side), b[1] - size * Math.sin(turn + side));
  pen.closePath();
  pen.fillStyle = palette.roles[figure.role].line;
  pen.fill();
}

/** Words fade out when the sheet is too small to carry them; a plan of stakes keeps their names at any size. */
function drawText(pens: Pens, figure: TextFigure): void {
  const size = figure.size ?? 'normal';
  if (!pens.named && pens.camera.scale < { small: 6.5, normal: 4, large: 2 }[size]) return;
  const word: Word = {
    text: figure.text, at: figure.at, colour: pens.palette.roles[figure.role].word, px: SIZES[size], anchor: figure.anchor ?? 'middle',
    rotate_deg: figure.rotate_deg ?? 0, rank: { large: 0, normal: 1, small: 3 }[size],
  };
  if (pens.words) pens.words.push(word);
  else label(pens, word.text, word.at, word.colour, word.px, word.anchor, word.rotate_deg);
}

export function label(pens: Pens, text: string, at: XY, colour: string, px: number, anchor: 'start' | 'middle' | 'end' = 'middle', rotate_deg = 0, lift = 0): void {
  const { pen, palette } = pens;
  const s = toScreen(pens.camera, at);
  pen.save();
  pen.translate(s.px, s.py);
  if (rotate_deg) pen.rotate((-rotate_deg * Math.PI) / 180);
  pen.font = `600 ${px * palette.text}px ${palette.font}`;
  pen.textAlign = anchor === 'middle' ? 'center' : anchor;
  pen.textBaseline = 'middle';
  pen.lineJoin = 'round';
  pen.lineWidth = 3.5;
  pen.strokeStyle = palette.paper;
  pen.strokeText(text, 0, lift);
  pen.fillStyle = colour;
  pen.fillText(text, 0, lift);
  pen.restore();
}

function drawDimension(pens: Pens, figure: DimensionFigure): void {
  const { pen, camera, palette } = pens;
  const a = toScreen(camera, figure.start);
  const b = toScreen(camera, figure.end);
  const long = Math.hypot(b.px - a.px, b.py - a.py);
  if (long < 26) return;
  const [ux, uy] = [(b.px - a.px) / long, (b.py - a.py) / long];
  const away = (figure.offset_m ?? 0) * camera.scale;
  const [ox, oy] = [uy * away, -ux * away];
  const colour = palette.roles[figure.role].line;
  pen.strokeStyle = colour;
  pen.lineWidth = WIDTHS.fine;
  pen.beginPath();
  if (away) {
    pen.moveTo(a.px, a.py);
    pen.lineTo(a.px + ox * 1.15, a.py + oy * 1.15);
    pen.moveTo(b.px, b.py);
    pen.lineTo(b.px + ox * 1.15, b.py + oy * 1.15);
  }
  pen.moveTo(a.px + ox, a.py + oy);
  pen.lineTo(b.px + ox, b.py + oy);
  for (const end of [a, b]) {
    pen.moveTo(end.px + ox - (ux - uy) * 4, end.py + oy - (uy + ux) * 4);
    pen.lineTo(end.px + ox + (ux - uy) * 4, end.py + oy + (uy + ux) * 4);
  }
  pen.stroke();
  const middle: XY = [(figure.start[0] + figure.end[0]) / 2, (figure.start[1] + figure.end[1]) / 2];
  let turn = (-Math.atan2(b.py - a.py, b.px - a.px) * 180) / Math.PI;
  if (turn > 90) turn -= 180;
  if (turn <= -90) turn += 180;
  pen.save();
  pen.translate(ox, oy);
  label(pens, figure.text ?? writeLength(figure.value_m, pens.writing), middle, colour, SIZES.small, 'middle', turn);
  pen.restore();
}

/** A picture laid on the ground, faint enough to draw over. */
export function drawUnderlay(pens: Pens, picture: CanvasImageSource, place: readonly [number, number, number, number, number, number]): void {
  const { pen } = pens;
  const [a, b, c, d, e, f] = place;
  metres(pens);
  pen.transform(a, d, b, e, c, f);
  pen.globalAlpha = 0.55;
  pen.drawImage(picture, 0, 0);
  pen.globalAlpha = 1;
  pixels(pens);
}

/** A grid on round lengths, every fifth line heavier. */
export function drawGrid(pens: Pens, step: number): void {
  const { pen, camera, palette } = pens;
  const [x0, y0, x1, y1] = view(camera);
  for (const bold of [false, true]) {
    pen.beginPath();
    for (let i = Math.floor(x0 / step); i * step <= x1; i += 1) {
      if ((i % 5 === 0) !== bold) continue;
      const { px } = toScreen(camera, [i * step, 0]);
      pen.moveTo(Math.round(px) + 0.5, 0);
      pen.lineTo(Math.round(px) + 0.5, camera.high);
    }
    for (let i = Math.floor(y0 / step); i * step <= y1; i += 1) {
      if ((i % 5 === 0) !== bold) continue;
      const { py } = toScreen(camera, [0, i * step]);
      pen.moveTo(0, Math.round(py) + 0.5);
      pen.lineTo(camera.wide, Math.round(py) + 0.5);
    }
    pen.strokeStyle = bold ? palette.gridBold : palette.grid;
    pen.lineWidth = 1;
    pen.stroke();
  }
}

/** The boundary: the ground inside lies on lighter paper. */
export function drawBoundary(pens: Pens, boundary: readonly XY[]): void {
  if (boundary.length < 3) return;
  const { pen, camera, palette } = pens;
  metres(pens);
  pen.beginPath();
  boundary.forEach(([x, y], i) => (i === 0 ? pen.moveTo(x, y) : pen.lineTo(x, y)));
  pen.closePath();
  pen.lineWidth = (pens.plain ? 1 : 1.4) / camera.scale;
  pen.strokeStyle = palette.ink;
  pen.setLineDash(pens.plain ? [] : [14 / camera.scale, 4 / camera.scale, 2 / camera.scale, 4 / camera.scale]);
  pen.stroke();
  pen.setLineDash([]);
  pixels(pens);
}

export function clear({ pen, camera, dpr }: Pens): void {
  pen.setTransform(dpr, 0, 0, dpr, 0, 0);
  pen.clearRect(0, 0, camera.wide, camera.high);
}
