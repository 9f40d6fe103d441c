/** Ropewalk Cottage, a small hand-made garden to try the board on. */
import type { Doc, FeatureDoc, GardenDoc, XY } from '../lib/api/types';

const on = (...xy: number[]): XY[] => xy.reduce<XY[]>((out, v, i) => (i % 2 ? [...out.slice(0, -1), [out.at(-1)![0], v]] : [...out, [v, 0]]), []);
const fe = (kind: string, id: string, rest: Record<string, unknown>): FeatureDoc => ({ kind, id, there_from: 'start', ...rest }) as FeatureDoc;

export const BOUNDARY: XY[] = on(0, 0, 18, 0, 18, 46, 0, 46);
export const FIRST = 2027;
export const YEARS = [2027, 2028, 2029, 2030, 2031, 2032];

export const features = (): FeatureDoc[] => [
  fe('stream', 'stream', { name: 'Stream', outline: on(0, 0, 18, 0, 18, 1.6, 12, 2.2, 6, 1.5, 0, 2.1) }),
  fe('lawn', 'orchard-grass', { name: 'Nuttery', outline: on(0.6, 3, 8.2, 3, 8.2, 15.5, 0.6, 15.5) }),
  fe('lawn', 'drying-green', { name: 'Drying green', outline: on(10.6, 28, 17.4, 28, 17.4, 35.4, 10.6, 35.4) }),
  fe('lawn', 'long-grass', { outline: on(0.6, 16.5, 7.8, 16.5, 7.8, 27, 0.6, 27) }),
  fe('house', 'cottage', { name: 'Cottage', at: [8, 42.4], facing_deg: 180, width: 10.5, depth: 5.6 }),
  fe('path', 'terrace', { name: 'Terrace', line: on(2.75, 38.1, 13.25, 38.1), width: 2.8, floor: 'brick' }),
  fe('wall', 'kitchen-wall-west', { line: on(9.9, 16, 9.9, 27.2), height: 2.1 }),
  fe('wall', 'kitchen-wall-north', { line: on(9.9, 27.2, 17.6, 27.2), height: 2.1 }),
  fe('wall', 'kitchen-wall-south', { line: on(9.9, 16, 17.6, 16), height: 1.4 }),
  fe('gate', 'kitchen-gate', { at: [9.9, 24], along_deg: 0, width: 1.0 }),
  fe('bed', 'kitchen-bed-1', { outline: on(11, 17.2, 13.2, 17.2, 13.2, 25.8, 11, 25.8), there_from: '2027-03' }),
  fe('bed', 'kitchen-bed-2', { name: 'Kitchen garden', outline: on(14.2, 17.2, 16.6, 17.2, 16.6, 25.8, 14.2, 25.8), there_from: '2027-03' }),
  fe('path', 'long-walk', { name: '', line: on(8.9, 36.6, 8.9, 5), width: 1.2, floor: 'gravel', there_from: '2027-09' }),
  fe('hedge', 'green-hedge', { name: 'Hornbeam hedge', line: on(10.1, 36.2, 10.1, 27.6), plant: 'carpinus-betulus', spacing: 0.4, clip_height: 1.8, clip_width: 0.6, there_from: '2027-02' }),
  fe('gate', 'side-gate', { name: 'Side gate', at: [10.1, 31.4], along_deg: 0, width: 0.9, there_from: '2028-04' }),
  fe('bed', 'cutting-garden', { name: 'Cutting garden', outline: on(1, 28.4, 7.4, 28.4, 7.4, 35, 1, 35), there_from: '2028-03' }),
  fe('tree', 'old-damson', { name: 'Old damson', at: [4.2, 23.4], plant: 'prunus-damson' }),
  fe('tree', 'hazel-1', { at: [2.6, 13], plant: 'corylus-avellana', there_from: '2028-02' }),
  fe('tree', 'hazel-2', { at: [6, 13], plant: 'corylus-avellana', there_from: '2028-02' }),
  fe('tree', 'hazel-3', { at: [4.3, 9.6], plant: 'corylus-avellana', there_from: '2028-02' }),
  fe('tree', 'hazel-4', { at: [2.6, 6.2], plant: 'corylus-avellana', there_from: '2029-02' }),
  fe('tree', 'hazel-5', { at: [6, 6.2], plant: 'corylus-avellana', there_from: '2029-02' }),
  fe('fence', 'hen-fence', { name: 'Hen run', line: on(10.4, 14.8, 17.5, 14.8, 17.5, 9, 10.4, 9, 10.4, 14.8), height: 1.5, there_from: '2029-04' }),
  fe('seat', 'end-seat', { name: 'Seat', at: [8.9, 4.2], facing_deg: 0, width: 1.8, depth: 0.6, there_from: '2028-06' }),
  fe('held', 'pond-place', { name: 'Pond to come', outline: on(11.2, 3.2, 16.6, 3.2, 16.6, 7.6, 11.2, 7.6), greatest_height: 0.4, set_aside: 140000, decide_by: '2030-10', there_from: '2031-04' }),
  fe('greenhouse', 'greenhouse', { name: 'Greenhouse', at: [15.2, 30.2], facing_deg: 180, width: 3.8, depth: 2.5, there_from: '2030-04' }),
];

export const jobs: Doc[] = [
  { id: 'dig-beds', name: 'Dig the kitchen beds', does: ['kitchen-bed-1', 'kitchen-bed-2'], costs: [{ words: 'compost', sum: 18000 }], hours: 26, months: 2, start: '2027-03', large: false },
  { id: 'plant-hedge', name: 'Plant the hornbeam hedge', does: ['green-hedge'], costs: [{ words: 'whips', sum: 5600 }], hours: 9, months: 1, start: '2027-02', large: false },
  { id: 'lay-walk', name: 'Lay the long walk', does: ['long-walk'], costs: [{ words: 'gravel and edging', sum: 148000 }], hours: 52, months: 3, start: '2027-09', large: true },
  { id: 'hang-gate', name: 'Hang the side gate', does: ['side-gate'], costs: [{ words: 'gate and posts', sum: 31000 }], hours: 8, months: 1, start: '2028-04', large: false },
  { id: 'nuttery', name: 'Plant the nuttery', does: ['hazel-1', 'hazel-2', 'hazel-3'], costs: [{ words: 'hazels', sum: 9000 }], hours: 6, months: 1, start: '2028-02', large: false },
  { id: 'hen-run', name: 'Fence the hen run', does: ['hen-fence'], costs: [{ words: 'posts and mesh', sum: 96000 }], hours: 38, months: 2, start: '2029-04', large: true },
  { id: 'greenhouse-job', name: 'Raise the greenhouse', does: ['greenhouse'], costs: [{ words: 'kit and base', sum: 265000 }], hours: 44, months: 2, start: '2030-03', large: true },
  { id: 'pond', name: 'Dig the pond court', does: ['pond-place'], costs: [{ words: 'liner and stone', sum: 140000 }], hours: 60, months: 3, start: '2031-04', large: true },
];

export const intents: Doc[] = [
  { id: 'only-way-green', kind: 'only_way', walker: 'person', room: 'drying-green', opening: 'side-gate', words: '', muted: false },
  { id: 'bench-water', kind: 'sees', start: 'end-seat', end: 'stream', muted: false },
  { id: 'roe-hazels', kind: 'cant_reach', walker: 'roe', end: 'nuttery', muted: false },
  { id: 'window-terrace', kind: 'hidden', start: 'window', end: 'terrace', muted: false },
  { id: 'barrow-kitchen', kind: 'reach', start: 'back-door', walker: 'barrow', end: 'kitchen', muted: false },
  { id: 'sum', kind: 'never_more', sum: 240000, muted: false },
];

export const garden = (): GardenDoc => ({
  format: 'quincunx/1', name: 'Ropewalk Cottage', features: features(), jobs, intents,
  spots: [
    { id: 'back-door', name: 'Back door', at: [8.9, 39.5] }, { id: 'gate-outside', name: 'Lane gate', at: [16.8, 45.4] },
    { id: 'end-seat-eye', name: 'The seat', at: [8.9, 4.3] }, { id: 'window', name: 'Neighbour’s window', at: [18.6, 37] },
  ],
  rooms: [
    { id: 'drying-green', name: 'Drying green', inside: [14, 32] }, { id: 'kitchen', name: 'Kitchen garden', inside: [13.7, 20] }, { id: 'nuttery', name: 'Nuttery', inside: [4, 8] },
  ],
} as unknown as GardenDoc);
