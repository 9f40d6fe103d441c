/** Amounts over the ground, painted in the shades of their bands; straight between the cells' middles. */
import type { AmountField, Writing, XY } from '../api/types';
import { toScreen } from './camera';
import type { Pens } from './draw';

const NOTHING = 255;
const TOP = 250;
/** Pixels painted for each side of a cell. */
const FINE = 4;

const known = new WeakMap<AmountField, Uint8Array>();
const painted = new WeakMap<AmountField, { key: string; canvas: HTMLCanvasElement }>();

export function cellsOf(field: AmountField): Uint8Array {
  let cells = known.get(field);
  if (!cells) known.set(field, (cells = Uint8Array.from(atob(field.cells), (c) => c.charCodeAt(0))));
  return cells;
}

/** The amount at a place; null off the field and where there is none. */
export function amountAt(field: AmountField, [x, y]: XY): number | null {
  const [column, row] = [Math.floor((x - field.x0) / field.step), Math.floor((y - field.y0) / field.step)];
  if (column < 0 || row < 0 || column >= field.columns || row >= field.rows) return null;
  const byte = cellsOf(field)[row * field.columns + column]!;
  return byte === NOTHING ? null : field.low + ((field.high - field.low) * byte) / TOP;
}

export const bandOf = (field: AmountField, value: number): AmountField['bands'][number] =>
  field.bands.findLast((b) => value >= b.least) ?? field.bands[0]!;

/** What is said of the place under the pointer. */
export function readField(field: AmountField, at: XY, writing: Writing): string {
  const value = amountAt(field, at);
  if (value === null) return 'Nothing is worked out for this place.';
  return `${value.toFixed(field.digits).replace('.', writing.decimal_mark)} ${field.unit}: ${bandOf(field, value).words}`;
}

/** The amount between the middles of cells, from those of the four around that have one. */
export function between(field: AmountField, cells: Uint8Array, column: number, row: number): number | null {
  const [c0, r0] = [Math.floor(column), Math.floor(row)];
  let [sum, weight] = [0, 0];
  for (const [dc, dr] of [[0, 0], [1, 0], [0, 1], [1, 1]] as const) {
    const [c, r] = [c0 + dc, r0 + dr];
    if (c < 0 || r < 0 || c >= field.columns || r >= field.rows) continue;
    const byte = cells[r * field.columns + c]!;
    if (byte === NOTHING) continue;
    const w = (1 - Math.abs(column - c)) * (1 - Math.abs(row - r));
    sum += w * byte;
    weight += w;
  }
  return weight > 0 ? field.low + ((field.high - field.low) * (sum / weight)) / TOP : null;
}

function paint(field: AmountField, shades: readonly string[]): HTMLCanvasElement {
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [field.columns * FINE, field.rows * FINE];
  const pen = canvas.getContext('2d');
  if (!pen) return canvas;
  const image = pen.createImageData(canvas.width, canvas.height);
  const cells = cellsOf(field);
  const inks = field.bands.map((b) => rgb(shades[b.shade] ?? '#888888'));
  for (let j = 0; j < canvas.height; j += 1) {
    const row = (canvas.height - 1 - j + 0.5) / FINE - 0.5;
    for (let i = 0; i < canvas.width; i += 1) {
      const column = (i + 0.5) / FINE - 0.5;
      const own = cells[Math.floor(row + 0.5) * field.columns + Math.floor(column + 0.5)];
      const value = own === NOTHING ? null : between(field, cells, column, row);
      if (value === null) continue;
      const [r, g, b] = inks[field.bands.indexOf(bandOf(field, value))]!;
      image.data.set([r, g, b, 255], (j * canvas.width + i) * 4);
    }
  }
  pen.putImageData(image, 0, 0);
  return canvas;
}

export function rgb(colour: string): [number, number, number] {
  const n = Number.parseInt(colour.replace('#', ''), 16);
  return [(n >> 16) & 255, (n >> 8) & 255, n & 255];
}

export function drawField(pens: Pens, field: AmountField): void {
  const { pen, camera, palette } = pens;
  const key = palette.shades.join();
  let done = painted.get(field);
  if (done?.key !== key) painted.set(field, (done = { key, canvas: paint(field, palette.shades) }));
  const corner = toScreen(camera, [field.x0, field.y0 + field.rows * field.step]);
  pen.imageSmoothingEnabled = false;
  pen.drawImage(done.canvas, corner.px, corner.py, field.columns * field.step * camera.scale, field.rows * field.step * camera.scale);
}
