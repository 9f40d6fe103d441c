/** A few kinds for trying the board without the program: their fields and how they are drawn. */
import type { Doc, FeatureDoc, FieldSpec, Figure, Handle, Kind, XY } from '../lib/api/types';
import { bearing, norm, step, times, add, towards } from '../lib/geometry/points';
import { box } from '../lib/geometry/shapes';

const f = (name: string, words: string, type: FieldSpec['type'], more: Partial<FieldSpec> = {}): FieldSpec => ({ name, words, type, unit: type === 'length' ? 'm' : null, ...more });
const common: FieldSpec[] = [
  f('name', 'Name', 'text'),
  f('there_from', 'There from', 'year_month', { choices: [['start', 'there already'], ['', 'when its job is done']], help: "'start' if there already, a month such as 2027-03, or empty: by the job that makes it" }),
  f('there_until', 'There until', 'year_month', { help: 'the month it goes, if that is known' }),
  f('note', 'Note', 'text'),
];
const none = { since: 'there_from', points: null, at: null, turn: null, turn_is: null, width: null, depth: null, in_wall: false } as const;
const lined = { ...none, points: 'line' };
const outlined = { ...none, points: 'outline' };
const point = { ...none, at: 'at' };
const fronted = { ...none, at: 'at', turn: 'facing_deg', turn_is: 'front', width: 'width', depth: 'depth' } as const;
const line = f('line', 'Line', 'points');
const outline = f('outline', 'Outline', 'points');
const at = f('at', 'Where', 'point');
const facing = f('facing_deg', 'Front faces', 'number', { unit: 'deg', default: 180 });
const size = (w: number, d: number): FieldSpec[] => [f('width', 'Width', 'length', { default: w, basic: true }), f('depth', 'Depth', 'length', { default: d, basic: true })];

export const KINDS: Kind[] = [
  { kind: 'lawn', words: 'lawn', about: 'Grass cut short: walked on all year, soft in winter.', group: 'ground', placing: 'outline', place: outlined, fields: [outline, ...common], example: {} },
  { kind: 'bed', words: 'bed', about: 'Dug ground for plants; people keep off it.', group: 'ground', placing: 'outline', place: outlined, fields: [outline, ...common], example: {} },
  { kind: 'path', words: 'path', about: 'A made way along a line; later finishes keep the level and the depth dug at the start.', group: 'ground', placing: 'line', place: lined, fields: [line, f('width', 'Width', 'length', { default: 1.2, basic: true }), f('floor', 'Finish', 'choice', { choices: [['brick', 'brick'], ['gravel', 'gravel'], ['woodchip', 'woodchip']], default: 'gravel', basic: true }), ...common], example: {} },
  { kind: 'stream', words: 'stream', about: 'Running water.', group: 'ground', placing: 'outline', place: outlined, fields: [outline, ...common], example: {} },
  { kind: 'wall', words: 'wall', about: 'Masonry: stops feet, eyes and wind as high as it is.', group: 'walls', placing: 'line', place: { ...lined, holds: true }, fields: [line, f('height', 'Height', 'length', { default: 1.8, min: 0.1, max: 5, basic: true }), f('thickness', 'Thickness', 'length', { default: 0.23 }), ...common], example: {} },
  { kind: 'hedge', words: 'hedge', about: 'Planted in a row and clipped; hides and stops feet only when grown and closed.', group: 'walls', placing: 'line', place: { ...lined, holds: true }, fields: [line, f('plant', 'Plant', 'plant', { default: 'carpinus-betulus', basic: true }), f('spacing', 'Distance between plants', 'length', { default: 0.4, basic: true }), f('rows', 'Rows', 'integer', { default: 1, min: 1, max: 3 }), f('clip_height', 'Clipped to a height of', 'length', { default: 1.8, min: 0.2, max: 6, basic: true }), f('clip_width', 'Clipped to a width of', 'length', { default: 0.6 }), ...common], example: {} },
  { kind: 'fence', words: 'fence', about: 'Posts with rails and boards or mesh.', group: 'walls', placing: 'line', place: { ...lined, holds: true }, fields: [line, f('height', 'Height', 'length', { default: 1.5, basic: true }), ...common], example: {} },
  { kind: 'gate', words: 'gate', about: 'Cuts the wall, fence or hedge it stands in; people go through, animals when it is left open.', group: 'openings', placing: 'turned', place: { ...none, at: 'at', turn: 'along_deg', turn_is: 'along', width: 'width', in_wall: true }, fields: [at, f('along_deg', 'Direction of the wall', 'number', { unit: 'deg', default: 90 }), f('width', 'Clear width', 'length', { default: 0.9, min: 0.3, max: 8, basic: true }), f('height', 'Height of the leaf', 'length', { default: 1.2, basic: true }), f('latch', 'Latch', 'choice', { choices: [['none', 'pushes open'], ['latched', 'latched'], ['locked', 'locked']], default: 'latched', basic: true }), f('hung_left', 'Hung on the left', 'bool', { default: true }), ...common], example: {} },
  { kind: 'seat', words: 'seat', about: 'Where someone sits and looks.', group: 'furnishing', placing: 'turned', place: fronted, fields: [at, facing, ...size(1.8, 0.6), ...common], example: {} },
  { kind: 'house', words: 'house', about: 'The house that is there.', group: 'shelter', placing: 'turned', place: fronted, fields: [at, facing, ...size(9, 6), ...common], example: {} },
  { kind: 'greenhouse', words: 'greenhouse', about: 'Glass on a base: warm in spring, mind the wind.', group: 'shelter', placing: 'turned', place: fronted, fields: [at, facing, ...size(3.8, 2.5), ...common], example: {} },
  { kind: 'held', words: 'held place', about: 'Keeps ground, height and money for a structure to be chosen later; planting nearby keeps clear.', group: 'shelter', placing: 'outline', place: outlined, fields: [outline, f('greatest_height', 'Greatest height', 'length', { default: 2.6, basic: true }), f('set_aside', 'Sum set aside', 'integer', { unit: 'money', default: 0, basic: true }), f('decide_by', 'Decide by', 'year_month', { basic: true }), f('shortlist', 'Shortlist', 'list'), ...common], example: {} },
  { kind: 'tree', words: 'tree', about: 'Grows a clear stem and a crown: shades, hides and drips more each year.', group: 'plants', placing: 'point', place: point, fields: [at, f('plant', 'Plant', 'plant', { default: 'malus-domestica', basic: true }), f('start_height', 'Height when planted', 'length', { default: 1.5, basic: true }), ...common], example: {} },
];

const pts = (doc: Doc, name: string): XY[] => (doc[name] as unknown as XY[]) ?? [];
const num = (doc: Doc, name: string, or: number): number => {
  const v = doc[name];
  return typeof v === 'number' ? v : v && typeof v === 'object' && !Array.isArray(v) ? Number(v['m']) : or;
};
const age = (doc: Doc, year: number): number => (doc['there_from'] === 'start' ? 12 : Math.max(0, year - Number(String(doc['there_from'] ?? year).slice(0, 4))));

export function strip(points: readonly XY[], width: number): XY[] {
  const side = (k: number): XY[] => points.map((p, i) => {
    const a = points[Math.max(0, i - 1)]!;
    const b = points[Math.min(points.length - 1, i + 1)]!;
    return add(p, times(towards(bearing(a, b) + 90), (k * width) / 2));
  });
  return [...side(1), ...side(-1).reverse()];
}
function circle(at: XY, r: number): XY[] {
  return Array.from({ length: 40 }, (_, i) => step(at, i * 9, r * (1 + 0.06 * Math.sin(i * 2.4))));
}

export interface Drawn { figures: Figure[]; outline: XY[][]; handles: Handle[] }

export function draw(doc: FeatureDoc, year: number): Drawn {
  const id = doc.id;
  const name = String(doc['name'] ?? '');
  const handles = (field: string): Handle[] => pts(doc, field).map((p, i) => ({ id: `${field}.${i}`, at: p, words: `corner ${i + 1}` }));
  const words = (p: XY, size: 'small' | 'normal' = 'small'): Figure[] => (name ? [{ t: 'text', at: p, text: name, role: 'note', owner: id, size }] : []);
  const mid = (ring: XY[]): XY => times(ring.reduce((s, p) => add(s, p), [0, 0] as XY), 1 / Math.max(1, ring.length));
  const flat = (role: 'lawn' | 'bed' | 'water' | 'held', pattern: 'plain' | 'dots' | 'waves' | 'hatch'): Drawn => {
    const ring = pts(doc, 'outline');
    return { figures: [{ t: 'area', rings: [ring], role, owner: id, pattern, outline: true, weight: role === 'held' ? 'fine' : 'thin' }, ...(role === 'held' ? [{ t: 'path', points: ring, closed: true, dash: true, role, owner: id } as Figure] : []), ...words(mid(ring))], outline: [ring], handles: handles('outline') };
  };
  switch (doc.kind) {
    case 'lawn': return flat('lawn', 'plain');
    case 'bed': return flat('bed', 'dots');
    case 'stream': return flat('water', 'waves');
    case 'held': return flat('held', 'hatch');
    case 'path': {
      const ring = strip(pts(doc, 'line'), num(doc, 'width', 1.2));
      const pattern = doc['floor'] === 'brick' ? 'bricks' : doc['floor'] === 'woodchip' ? 'tufts' : 'dots';
      return { figures: [{ t: 'area', rings: [ring], role: 'way', owner: id, pattern, outline: true }], outline: [ring], handles: handles('line') };
    }
    case 'wall':
    case 'fence': {
      const ring = strip(pts(doc, 'line'), doc.kind === 'wall' ? num(doc, 'thickness', 0.23) : 0.1);
      return { figures: [{ t: 'area', rings: [ring], role: doc.kind === 'wall' ? 'wall' : 'built', owner: id, pattern: doc.kind === 'wall' ? 'hatch' : 'plain', weight: 'normal' }], outline: [ring], handles: handles('line') };
    }
    case 'hedge': {
      const full = num(doc, 'clip_width', 0.6);
      const now = strip(pts(doc, 'line'), Math.min(full, 0.15 + 0.12 * age(doc, year)));
      const end = strip(pts(doc, 'line'), full);
      return { figures: [{ t: 'path', points: end, closed: true, dash: true, weight: 'fine', role: 'grown', owner: id }, { t: 'area', rings: [now], role: 'grown', owner: id, pattern: 'tufts', weight: 'normal' }], outline: [end], handles: handles('line') };
    }
    case 'gate': {
      const p = doc['at'] as unknown as XY;
      const w = num(doc, 'width', 0.9);
      const deg = num(doc, 'along_deg', 90);
      const [a, b] = [step(p, deg + 180, w / 2), step(p, deg, w / 2)];
      return { figures: [{ t: 'area', rings: [box(p, w, 0.34, deg + 90)], role: 'way', owner: id, outline: false }, { t: 'path', points: [a, b], role: 'way', owner: id, weight: 'fine', dash: true }, { t: 'path', points: [a, step(a, deg - 45, w)], role: 'built', owner: id, weight: 'thick' }], outline: [box(p, w, 0.6, deg + 90)], handles: [{ id: 'at', at: p, words: 'middle' }, { id: 'end', at: b, words: 'end' }] };
    }
    case 'tree': {
      const p = doc['at'] as unknown as XY;
      const r = Math.min(2.6, 0.4 + 0.24 * age(doc, year));
      return { figures: [{ t: 'area', rings: [circle(p, r)], role: 'grown', owner: id, pattern: 'tufts', weight: 'thin' }, { t: 'area', rings: [circle(p, 0.09)], role: 'wall', owner: id }, ...words(add(p, [0, -r - 0.35]))], outline: [circle(p, r)], handles: [{ id: 'at', at: p, words: 'middle' }] };
    }
    default: {
      const p = doc['at'] as unknown as XY;
      const deg = num(doc, 'facing_deg', 180);
      const [w, d] = [num(doc, 'width', 2), num(doc, 'depth', 2)];
      const ring = box(p, w, d, deg);
      return {
        figures: [{ t: 'area', rings: [ring], role: doc.kind === 'house' ? 'wall' : 'built', owner: id, pattern: doc.kind === 'house' ? 'hatch' : doc.kind === 'greenhouse' ? 'cross' : 'boards', weight: 'normal' }, ...words(p, doc.kind === 'house' ? 'normal' : 'small')],
        outline: [ring],
        handles: [{ id: 'at', at: p, words: 'middle' }, { id: 'front', at: step(p, deg, d / 2), words: 'front' }, { id: 'width', at: step(p, deg + 90, w / 2), words: 'side', along_deg: norm(deg + 90) }, { id: 'depth', at: step(p, deg + 180, d / 2), words: 'back', along_deg: norm(deg + 180) }],
      };
    }
  }
}
