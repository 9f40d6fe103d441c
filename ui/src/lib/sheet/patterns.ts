/**
 * Patterns as small tiles measured in metres. When a tile would be too small to read on the screen it is
 * drawn two, four, eight times as large, so that a hedge looks like a hedge at every zoom.
 */
import type { Pattern } from '../api/types';

type Pen = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;
interface Tile { size_m: number; draw: (pen: Pen, s: number) => void }

const line = (pen: Pen, ...xy: number[]): void => {
  pen.moveTo(xy[0]!, xy[1]!);
  for (let i = 2; i < xy.length; i += 2) pen.lineTo(xy[i]!, xy[i + 1]!);
};
const dot = (pen: Pen, x: number, y: number, r: number): void => {
  pen.moveTo(x + r, y);
  pen.arc(x, y, r, 0, 2 * Math.PI);
};
function stroked(draw: (pen: Pen, s: number) => void): (pen: Pen, s: number) => void {
  return (pen, s) => {
    pen.beginPath();
    draw(pen, s);
    pen.stroke();
  };
}
function filled(draw: (pen: Pen, s: number) => void): (pen: Pen, s: number) => void {
  return (pen, s) => {
    pen.beginPath();
    draw(pen, s);
    pen.fill();
  };
}

export const TILES: Record<Exclude<Pattern, 'plain'>, Tile> = {
  hatch: { size_m: 0.4, draw: stroked((p, s) => [-1, 0, 1].forEach((k) => line(p, k * s, s, (k + 1) * s, 0))) },
  cross: { size_m: 0.5, draw: stroked((p, s) => [-1, 0, 1].forEach((k) => { line(p, k * s, s, (k + 1) * s, 0); line(p, k * s, 0, (k + 1) * s, s); })) },
  dots: { size_m: 0.5, draw: filled((p, s) => { dot(p, s * 0.22, s * 0.3, s * 0.055); dot(p, s * 0.7, s * 0.62, s * 0.055); dot(p, s * 0.36, s * 0.86, s * 0.04); }) },
  waves: { size_m: 1.0, draw: stroked((p, s) => [0.25, 0.75].forEach((y, i) => { const x = i ? s / 2 : 0; for (const o of [-s, 0]) { p.moveTo(x + o, y * s); p.bezierCurveTo(x + o + s * 0.2, (y - 0.13) * s, x + o + s * 0.3, (y + 0.13) * s, x + o + s * 0.55, y * s); } })) },
  boards: { size_m: 0.45, draw: stroked((p, s) => { line(p, 0, s * 0.166, s, s * 0.166); line(p, 0, s * 0.5, s, s * 0.5); line(p, 0, s * 0.833, s, s * 0.833); line(p, s * 0.3, s * 0.166, s * 0.3, s * 0.5); line(p, s * 0.75, s * 0.5, s * 0.75, s * 0.833); }) },
  bricks: { size_m: 0.44, draw: stroked((p, s) => { line(p, 0, s * 0.25, s, s * 0.25); line(p, 0, s * 0.75, s, s * 0.75); line(p, s * 0.25, s * 0.25, s * 0.25, s * 0.75); line(p, s * 0.75, 0, s * 0.75, s * 0.25); line(p, s * 0.75, s * 0.75, s * 0.75, s); }) },
  tufts: { size_m: 0.8, draw: stroked((p, s) => [[0.22, 0.38], [0.7, 0.84], [0.62, 0.3]].forEach(([x, y]) => { line(p, (x! - 0.1) * s, (y! - 0.13) * s, x! * s, y! * s, (x! + 0.1) * s, (y! - 0.13) * s); line(p, x! * s, (y! - 0.18) * s, x! * s, y! * s); })) },
  flags: { size_m: 0.6, draw: stroked((p, s) => { line(p, 0, s / 2, s, s / 2); line(p, s / 2, 0, s / 2, s); }) },
  stones: { size_m: 0.9, draw: stroked((p, s) => { [[0.27, 0.3, 0.2, 0.16], [0.74, 0.36, 0.17, 0.2], [0.3, 0.76, 0.18, 0.15], [0.76, 0.82, 0.16, 0.11]].forEach(([x, y, a, b]) => { p.moveTo((x! + a!) * s, y! * s); p.ellipse(x! * s, y! * s, a! * s, b! * s, 0, 0, 2 * Math.PI); }); }) },
};

/** How many times its true size a tile is drawn so that it keeps at least `least` pixels. */
export function tileTimes(size_m: number, scale: number, least = 13): number {
  return 2 ** Math.max(0, Math.ceil(Math.log2(least / (size_m * scale))));
}

const made = new Map<string, CanvasPattern | null>();

/** The fill for a pattern in one colour at `scale` device pixels to the metre, laid out in metres. */
export function patternFill(pen: CanvasRenderingContext2D, pattern: Exclude<Pattern, 'plain'>, colour: string, scale: number, dpr: number): CanvasPattern | null {
  const tile = TILES[pattern];
  const size_m = tile.size_m * tileTimes(tile.size_m, scale / dpr);
  const side = Math.min(256, Math.max(8, Math.round(size_m * scale)));
  const key = `${pattern} ${colour} ${side}`;
  let fill = made.get(key);
  if (fill === undefined) {
    fill = makeTile(pen, tile, colour, side, dpr);
    if (made.size > 400) made.clear();
    made.set(key, fill);
  }
  fill?.setTransform(new DOMMatrix([size_m / side, 0, 0, -size_m / side, 0, 0]));
  return fill;
}

function makeTile(pen: CanvasRenderingContext2D, tile: Tile, colour: string, side: number, dpr: number): CanvasPattern | null {
  const canvas = document.createElement('canvas');
  canvas.width = side;
  canvas.height = side;
  const own = canvas.getContext('2d');
  if (!own) return null;
  own.strokeStyle = colour;
  own.fillStyle = colour;
  own.lineWidth = Math.max(0.7, Math.min(1, side / 40)) * dpr;
  own.lineCap = 'round';
  tile.draw(own, side);
  return pen.createPattern(canvas, 'repeat');
}
