/** The smaller answers of the stand-in. */
import type { Answer, FeatureDoc, FieldSpec, GivenTo, MustKind, Part, PlantName, PlantsFound, QuestionName, SheetName, Town, Walker, XY } from '../lib/api/types';
import { hedgeGap } from './answers';

export const walkers: Walker[] = [{ id: 'person', name: 'a person' }, { id: 'barrow', name: 'a barrow' }, { id: 'wheelchair', name: 'a wheelchair' }, { id: 'roe', name: 'a roe deer' }, { id: 'rabbit', name: 'a rabbit' }];
const seats = [{ id: 'long-seat', words: 'Seat at the end of the long walk', at: [5, 8] as XY }, { id: 'terrace-seat', words: 'Seat on the terrace', at: [12, 38] as XY }];
const looks = [{ id: 'hours', words: 'Hours of sun', at: null }, { id: 'shadows', words: 'Shadows', at: null }, { id: 'seat', words: 'A seat', at: null }];
export const questions: QuestionName[] = [
  { name: 'feet', words: 'Feet', asks: 'Who can walk where?', value: true, inputs: [{ name: 'walker', words: 'Who walks', takes: 'walker', default: 'person', options: walkers.map((w) => ({ id: w.id, words: w.name, at: null })), unit: '', least: null, most: null, when: null }] },
  {
    name: 'sun', words: 'Sun', asks: 'Where is the sun, and when?', value: false, inputs: [
      { name: 'look', words: 'What to show', takes: 'choice', default: 'hours', options: looks, unit: '', least: null, most: null, when: null },
      { name: 'hour', words: 'Hour', takes: 'hour', default: '15', options: [], unit: 'h', least: 5, most: 21, when: { name: 'look', values: ['shadows'] } },
      { name: 'seat', words: 'Which seat', takes: 'place', default: 'long-seat', options: seats, unit: '', least: null, most: null, when: { name: 'look', values: ['seat'] } },
      { name: 'high', words: 'Height of the eye', takes: 'number', default: '1.2', options: [], unit: 'm', least: 0, most: 10, when: { name: 'look', values: ['seat'] } },
    ],
  },
];
export const papers: SheetName[] = [
  { id: 'saturday', words: 'Saturday page', about: 'What to do on the next free day, with ties and diagonals.', years: true },
  { id: 'plan', words: 'Plan', about: 'The garden to scale.', years: true },
  { id: 'years', words: 'Table of years', about: 'Musts, money, hours and works.', years: false },
];
const given = (name: string, words: string, type: FieldSpec['type'], more: Partial<FieldSpec> = {}): FieldSpec => ({ name, words, type, unit: null, basic: true, ...more });
export const parts: Part[] = [
  { part: 'means', words: 'Money and hours', many: false, fields: [given('sum_a_year', 'Sum a year', 'integer', { unit: 'money', min: 0 }), given('hours_by_month', 'Hours there are in each month', 'numbers', { unit: 'h', min: 12, max: 12 })] },
  { part: 'rooms', words: 'Rooms', many: true, fields: [given('name', 'Name', 'text', { required: true }), given('inside', 'A point inside', 'point'), given('closed', 'Closed all round', 'bool', { default: true })] },
  { part: 'spots', words: 'Spots', many: true, fields: [given('name', 'Name', 'text', { required: true }), given('at', 'Where', 'point'), given('height', 'Height of the eye', 'length', { default: 0 })] },
  { part: 'norms', words: 'Norms', many: true, fields: [given('id', 'Id', 'text', { required: true }), given('words', 'What it is', 'text', { required: true }), given('hours', 'Hours', 'number', { required: true })] },
];
const blankField = (name: string, words: string) => ({ name, words, unit: null, type: 'text' as const });
export const mustKinds: MustKind[] = [
  { kind: 'reach', words: 'A way from one place to another', sentence: ['From ', { field: 'start', pick: 'place' }, ' ', { field: 'walker', pick: 'walker' }, ' can reach ', { field: 'end', pick: 'place' }, '.'], fields: [blankField('start', 'From'), blankField('walker', 'Who'), blankField('end', 'To')] },
  { kind: 'only_way', words: 'Only one way in', sentence: ['The only way for ', { field: 'walker', pick: 'walker' }, ' into ', { field: 'room', pick: 'room' }, ' is ', { field: 'opening', pick: 'opening' }, '.'], fields: [blankField('walker', 'Who'), blankField('room', 'Room'), blankField('opening', 'Opening')] },
  { kind: 'never_more', words: 'Never more than a sum', sentence: ['Never more than ', { field: 'sum', pick: 'money' }, ' a year.'], fields: [{ name: 'sum', words: 'Sum', unit: 'money', type: 'integer', default: 240000 }] },
];
const TOWNS: Town[] = [{ name: 'Plymouth', country: 'GB', label: 'Plymouth, GB', latitude_deg: 50.37, longitude_deg: -4.14 }, { name: 'Hereford', country: 'GB', label: 'Hereford, GB', latitude_deg: 52.06, longitude_deg: -2.72 }, { name: 'Utrecht', country: 'NL', label: 'Utrecht, NL', latitude_deg: 52.09, longitude_deg: 5.12 }];
export const towns = (q: string): Town[] => TOWNS.filter((t) => t.name.toLowerCase().startsWith(q.toLowerCase()));
const PLANTS: PlantName[] = [{ id: 'carpinus-betulus', name: 'hornbeam', botanical: 'Carpinus betulus', form: 'tree', height_m: 15, spread_m: 10 }, { id: 'fagus-sylvatica', name: 'beech', botanical: 'Fagus sylvatica', form: 'tree', height_m: 20, spread_m: 12 }, { id: 'corylus-avellana', name: 'hazel', botanical: 'Corylus avellana', form: 'shrub', height_m: 5, spread_m: 4 }];
export const plants = (q: string): PlantsFound => ({ plants: PLANTS.filter((p) => `${p.name} ${p.botanical} ${p.id}`.toLowerCase().includes(q.toLowerCase())), said: [], how: [] });

const ring = (x0: number, y0: number, x1: number, y1: number): XY[] => [[x0, y0], [x1, y0], [x1, y1], [x0, y1]];
const nothing = { field: null, below: [], leads: [], offers: [], how: [], rough: '', figures: [], legend: [] };
export function question(name: string, given: GivenTo, fine: boolean, features: readonly FeatureDoc[]): Answer {
  return name === 'sun' ? sun(given, fine) : feet(given, features);
}
function feet(given: GivenTo, features: readonly FeatureDoc[]): Answer {
  const open = hedgeGap(features) > 0.35;
  const area = (shade: number, r: XY[], pattern: 'plain' | 'dots' | 'hatch') => ({ t: 'area' as const, rings: [r], role: 'room' as const, owner: '', shade, pattern, outline: true });
  return {
    ...nothing, given: { walker: 'person', ...given },
    words: open ? 'One piece of ground: the drying green leaks.' : 'Three rooms, each its own.',
    legend: [{ words: 'Main garden', shade: 5, pattern: 'plain', role: 'room' }, { words: 'Drying green', shade: 2, pattern: 'dots', role: 'room' }, { words: 'Kitchen garden', shade: 0, pattern: 'hatch', role: 'room' }],
    figures: [area(5, ring(0.4, 2.2, 9.6, 36.4), 'plain'), area(2, ring(10.5, 27.6, 17.8, 36), 'dots'), ...(given['walker'] === 'wheelchair' ? [] : [area(0, ring(10.2, 16.2, 17.8, 27), 'hatch')])],
    leads: open ? [{ at: [10.1, 36.45], words: 'leaks here, 0.50 m' }] : [],
  };
}
const MONTH_ROWS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
function sun(given: GivenTo, fine: boolean): Answer {
  const said = { look: 'hours', hour: '15', seat: 'long-seat', high: '1.2', ...given };
  if (said.look === 'shadows') return { ...nothing, given: said, words: `Shadows at ${said.hour.slice(0, 5)}`, figures: [{ t: 'area', rings: [ring(2, 10 + Number(said.hour) / 4, 6, 14)], role: 'below', owner: '', shade: 0, outline: false }] };
  if (said.look === 'seat') return {
    ...nothing, given: said, words: 'The seat is shaded in six of ten hours.', how: ['By rays.'], offers: [{ words: 'Look at the terrace seat', edit: null, given: { seat: 'terrace-seat' } }],
    below: [
      { t: 'tiles', words: 'Sun at the seat by hour and month', columns: Array.from({ length: 18 }, (_, h) => String(h + 4)), rows: MONTH_ROWS, cells: MONTH_ROWS.map((_, m) => Array.from({ length: 18 }, (_, h) => (Math.abs(h - 8) > 5 + 3 * Math.sin((m / 11) * Math.PI) ? null : Math.abs(Math.sin(h * 1.3 + m))))), read: ['June: sun from 9 to 12.'], key: ['shade', 'sun'] },
      { t: 'table', words: 'Which roof?', head: ['Roof', 'Shade', 'Winter sun lost'], rows: [['none', '10 %', '0 h'], ['slats', '85 %', '0.4 h']], given: [{ high: '1.2' }, { high: '1.3' }], chosen: 1 },
      { t: 'bars', words: 'Hours of sun by month', rows: MONTH_ROWS.map((m, i) => [m, i, `${i} h`]), limits: [[6, 'six hours: full sun']] },
    ],
  };
  const step = fine ? 0.25 : 1;
  const [columns, rows] = [18 / step, 46 / step];
  const bytes = Array.from({ length: rows * columns }, (_, k) => Math.round(125 + 125 * Math.sin((k % columns) * step * 0.35) * Math.cos(Math.floor(k / columns) * step * 0.2)));
  return {
    ...nothing, given: said, words: 'Hours of sun a day in August', rough: fine ? '' : 'Rough at first; the finer picture follows.',
    legend: [{ words: '6 h and more', shade: 6 }, { words: '3 to 6 h', shade: 3 }, { words: 'less', shade: 0 }],
    field: { x0: 0, y0: 0, step, rows, columns, low: 0, high: 12, unit: 'h', digits: 1, bands: [{ least: 0, words: 'less', shade: 0 }, { least: 3, words: '3 to 6 h', shade: 3 }, { least: 6, words: '6 h and more', shade: 6 }], cells: btoa(String.fromCharCode(...bytes)) },
  };
}
export const questionAt = (x: number, y: number): string => (x > 10.2 && y > 27 ? 'Drying green: 14 m from the back door' : x > 10.2 ? 'Kitchen garden: 22 m from the back door' : `Main garden: ${Math.round(Math.abs(39 - y))} m from the back door`);

/** Many things, to see how the sheet bears them. */
export function extra(count: number): FeatureDoc[] {
  const kinds = ['hedge', 'bed', 'tree', 'wall', 'seat'];
  return Array.from({ length: count }, (_, i) => {
    const x = 5 + (i % 50) * 4;
    const y = 5 + Math.floor(i / 50) * 4.6;
    const kind = kinds[i % kinds.length]!;
    const id = `${kind}-x${i}`;
    const base = { id, kind, there_from: '2027-03' };
    if (kind === 'bed') return { ...base, outline: ring(x, y, x + 2, y + 3) } as unknown as FeatureDoc;
    if (kind === 'tree') return { ...base, at: [x, y] } as unknown as FeatureDoc;
    if (kind === 'seat') return { ...base, at: [x, y], facing_deg: (i * 37) % 360, width: 1.8, depth: 0.6 } as unknown as FeatureDoc;
    return { ...base, line: [[x, y], [x + 3, y + 1], [x + 3, y + 3]] } as unknown as FeatureDoc;
  });
}
