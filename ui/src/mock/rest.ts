/** The smaller answers of the stand-in. */
import type { Answer, FeatureDoc, MustKind, PlantName, QuestionName, SheetName, Town, Walker, XY } from '../lib/api/types';
import { hedgeGap } from './answers';

export const walkers: Walker[] = [{ id: 'person', name: 'a person' }, { id: 'barrow', name: 'a barrow' }, { id: 'wheelchair', name: 'a wheelchair' }, { id: 'roe', name: 'a roe deer' }, { id: 'rabbit', name: 'a rabbit' }];
export const questions: QuestionName[] = [
  { name: 'feet', words: 'Feet', asks: 'Where can they walk?', walker: true, ready: true },
  { name: 'eyes', words: 'Eyes', asks: 'What is seen from here?', walker: false, ready: false },
  { name: 'sun', words: 'Sun', asks: 'How many hours of sun?', walker: false, ready: false },
];
export const papers: SheetName[] = [
  { id: 'saturday', words: 'Saturday page', about: 'What to do on the next free day, with ties and diagonals.', years: true },
  { id: 'plan', words: 'Plan', about: 'The garden to scale.', years: true },
  { id: 'years', words: 'Table of years', about: 'Musts, money, hours and works.', years: false },
];
const blankField = (name: string, words: string) => ({ name, words, unit: null, type: 'text' as const });
export const mustKinds: MustKind[] = [
  { kind: 'reach', words: 'A way from one place to another', sentence: ['From ', { field: 'start', pick: 'place' }, ' ', { field: 'walker', pick: 'walker' }, ' can reach ', { field: 'end', pick: 'place' }, '.'], fields: [blankField('start', 'From'), blankField('walker', 'Who'), blankField('end', 'To')] },
  { kind: 'only_way', words: 'Only one way in', sentence: ['The only way for ', { field: 'walker', pick: 'walker' }, ' into ', { field: 'room', pick: 'room' }, ' is ', { field: 'opening', pick: 'opening' }, '.'], fields: [blankField('walker', 'Who'), blankField('room', 'Room'), blankField('opening', 'Opening')] },
  { kind: 'never_more', words: 'Never more than a sum', sentence: ['Never more than ', { field: 'sum', pick: 'money' }, ' a year.'], fields: [{ name: 'sum', words: 'Sum', unit: 'money', type: 'integer', default: 240000 }] },
];
const TOWNS: Town[] = [{ name: 'Plymouth', country: 'GB', latitude_deg: 50.37, longitude_deg: -4.14 }, { name: 'Hereford', country: 'GB', latitude_deg: 52.06, longitude_deg: -2.72 }, { name: 'Utrecht', country: 'NL', latitude_deg: 52.09, longitude_deg: 5.12 }];
export const towns = (q: string): Town[] => TOWNS.filter((t) => t.name.toLowerCase().startsWith(q.toLowerCase()));
const PLANTS: PlantName[] = [{ id: 'carpinus-betulus', name: 'hornbeam', botanical: 'Carpinus betulus', form: 'tree', height_m: 15, spread_m: 10 }, { id: 'fagus-sylvatica', name: 'beech', botanical: 'Fagus sylvatica', form: 'tree', height_m: 20, spread_m: 12 }, { id: 'corylus-avellana', name: 'hazel', botanical: 'Corylus avellana', form: 'shrub', height_m: 5, spread_m: 4 }];
export const plants = (q: string): PlantName[] => PLANTS.filter((p) => `${p.name} ${p.botanical}`.toLowerCase().includes(q.toLowerCase()));

const ring = (x0: number, y0: number, x1: number, y1: number): XY[] => [[x0, y0], [x1, y0], [x1, y1], [x0, y1]];
export function question(walker: string, features: readonly FeatureDoc[]): Answer {
  const open = hedgeGap(features) > 0.35;
  const area = (shade: number, r: XY[], pattern: 'plain' | 'dots' | 'hatch') => ({ t: 'area' as const, rings: [r], role: 'room' as const, owner: '', shade, pattern, outline: true });
  return {
    words: open ? 'One piece of ground: the drying green leaks.' : 'Three rooms, each its own.',
    legend: [{ words: 'Main garden', shade: 5, pattern: 'plain' }, { words: 'Drying green', shade: 2, pattern: 'dots' }, { words: 'Kitchen garden', shade: 0, pattern: 'hatch' }],
    figures: [area(5, ring(0.4, 2.2, 9.6, 36.4), 'plain'), area(2, ring(10.5, 27.6, 17.8, 36), 'dots'), ...(walker === 'wheelchair' ? [] : [area(0, ring(10.2, 16.2, 17.8, 27), 'hatch')])],
    leaks: open ? [{ at: [10.1, 36.45], words: 'leaks here, 0.50 m' }] : [],
    rooms: [{ id: 'drying-green', name: 'Drying green', words: '53 m²' }],
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
