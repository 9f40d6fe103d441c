/** Made-up verdicts for the made-up garden: enough to see marks change. */
import type { FeatureDoc, Figure, Finding, MustRow, TouchedVerdicts, VerdictCell, XY } from '../lib/api/types';
import { distance, nearestOn } from '../lib/geometry/points';
import { YEARS } from './ropewalk';

const HOW = ['Judged on 31 August with all that is finished by then.', 'Widths are true to 1 mm; the hedge’s size is known within a fifth.'];
const cell = (year: number, state: VerdictCell['state'], figure: string, because: string): VerdictCell => ({ year, state, figure, because, how: HOW });

/** The way past the hedge’s north end, as wide as it is drawn. */
export function hedgeGap(features: readonly FeatureDoc[]): number {
  const hedge = features.find((f) => f.id === 'green-hedge');
  const end = (hedge?.['line'] as unknown as XY[] | undefined)?.[0];
  return end ? Math.max(0, Math.min(distance(end, nearestOn(end, [2.75, 36.7], [13.25, 36.7]).at), 9)) : 9;
}

export function greenVerdicts(features: readonly FeatureDoc[]): VerdictCell[] {
  const gap = hedgeGap(features);
  return YEARS.map((y) => {
    if (y < 2028) return cell(y, 'not_due', '', 'The side gate is not hung before 2028.');
    if (gap > 0.35) return cell(y, 'fails', `${gap.toFixed(2)} m`, `There is a way round the north end of the hedge, ${gap.toFixed(2)} m wide.`);
    return y < 2030 ? cell(y, 'unknown', '', 'The hedge may still be open at the foot.') : cell(y, 'holds', '0.90 m', 'Every way in goes through the side gate, 0.90 m wide.');
  });
}

export function musts(features: readonly FeatureDoc[]): MustRow[] {
  const row = (id: string, text: string, order: number, verdicts: VerdictCell[]): MustRow => ({ id, text, kind: id, from_year: null, muted: false, order, verdicts });
  const ys = (fn: (y: number) => VerdictCell): VerdictCell[] => YEARS.map(fn);
  return [
    row('only-way-green', 'The only way into the drying green is the side gate', 0, greenVerdicts(features)),
    row('bench-water', 'From the seat I see the stream', 1, ys((y) => (y < 2028 ? cell(y, 'not_due', '', 'The seat comes in 2028.') : cell(y, 'holds', `${88 - (y - 2028) * 2} %`, 'Most of the stream is seen from the seat.')))),
    row('roe-hazels', 'Roe can’t reach the young trees', 2, ys((y) => (y < 2028 ? cell(y, 'not_due', '', 'No young trees yet.') : cell(y, 'fails', '7.6 m', 'Roe walk in from the stream along 7.6 m of open side.')))),
    row('window-terrace', 'The neighbour’s window no longer sees the terrace by 2031', 3, ys((y) => (y < 2031 ? cell(y, 'not_due', '', 'Asked for from 2031.') : y === 2031 ? cell(y, 'unknown', '30–55 %', 'Between 30 and 55 in 100 of it is hidden: the hedge’s height is not sure.') : cell(y, 'holds', '70 %', 'Enough of it is hidden.')))),
    row('barrow-kitchen', 'A barrow gets from the back door to the kitchen garden', 4, ys((y) => cell(y, 'holds', '1.00 m', 'The narrowest place is the kitchen gate, 1.00 m.'))),
    row('sum', 'Never more than €2 400 a year', 5, ys((y) => (y === 2030 ? cell(y, 'fails', '+€250', 'In March 2030 the greenhouse takes €250 more than there is.') : cell(y, 'holds', '', 'The sum lasts all year.')))),
  ];
}

export const touched = (features: readonly FeatureDoc[]): TouchedVerdicts[] => [{ id: 'only-way-green', verdicts: greenVerdicts(features) }];

export const findings: Finding[] = [
  { id: 'f1', severity: 'danger', words: 'The pond lies where small children can walk to it from the nuttery.', remedy: 'Fence it or keep it under a grid; no barrier replaces watching.', source: 'common practice, no source', about: ['pond-place'], at: [13.9, 5.4], year: 2031 },
  { id: 'f2', severity: 'fault', words: 'Two hazels will touch in 2032: they stand 3.4 m apart and grow 4 m wide.', remedy: 'Move hazel 2 by 0.6 m to the east, or cut it every sixth winter.', source: 'spread of Corylus avellana by age', about: ['hazel-1', 'hazel-2'], at: [4.3, 13], year: 2032 },
  { id: 'f3', severity: 'care', words: 'The seat lies in the lowest ground: frost settles there, and the stream has been as high.', remedy: 'Raise the floor by 0.3 m, or take the seat up to the fourth hazel.', source: 'levels as measured', about: ['end-seat'], at: [8.9, 4.2], year: null },
  { id: 'f4', severity: 'hint', words: 'Nothing is planned in 2032 and €1 900 is left.', remedy: 'Bring the pond forward, or keep it.', source: 'the table of years', about: [], at: null, year: 2032 },
];

const MIST: [number, number, number] = [1.2, 0.8, 0.3];
export function evidence(must: string, features: readonly FeatureDoc[]): Figure[] {
  const path = (...points: XY[]): Figure => ({ t: 'path', points, role: 'evidence', owner: '', weight: 'thick', arrow: true });
  const gap = hedgeGap(features);
  switch (must) {
    case 'only-way-green': return gap > 0.35
      ? [path([8.9, 36.9], [10.1, 36.45], [12.4, 34.6], [13.6, 32.4]), { t: 'dimension', start: [10.1, 36.2], end: [10.1, 36.7], value_m: gap, offset_m: 0.5, role: 'evidence', owner: '' }]
      : [path([8.9, 34], [9.2, 31.4], [12.6, 31.4], [13.6, 32.4])];
    case 'bench-water': return [{ t: 'area', rings: [[[8.9, 4.2], [2, 1.7], [16, 1.8]]], role: 'evidence', owner: '', pattern: 'hatch' }];
    case 'roe-hazels': return [path([4.4, MIST[0] + 0.2], [4.4, 4.6], [4.3, 8.7]), { t: 'dimension', start: [0.6, 2.4], end: [8.2, 2.4], value_m: 7.6, role: 'evidence', owner: '' }];
    case 'window-terrace': return [{ t: 'area', rings: [[[18.6, 37], [5, 39.4], [5, 36.8]]], role: 'evidence', owner: '', pattern: 'hatch' }];
    case 'barrow-kitchen': return [path([8.9, 39.5], [8.9, 24.2], [9.9, 24], [12, 23])];
    default: return [];
  }
}
