import { expect, test } from 'vitest';
import { readable, together } from './together';

const open = (words: string): string => words.replaceAll('\u00a0', '_');

test('a length in feet and inches stays on one line', () => {
  expect(open(together(`12' 6 1/2" between hedge and wall, and 2' 4" is needed`))).toBe(`12'_6_1/2" between hedge and wall, and 2'_4" is needed`);
  expect(open(together('a gap of 1/2" at 6 1/2" high'))).toBe('a gap of 1/2" at 6_1/2" high');
});

test('a figure stays with its unit, and two figures in a row are left', () => {
  expect(open(together('3.40 m and 29 m, 8 h 09 of sun, 82 % of its edge, 1 in 12.'))).toBe('3.40_m and 29_m, 8_h_09 of sun, 82_% of its edge, 1_in 12.');
  expect(open(together('Cutting bed 2 makes 3 meadows in 2028 2029'))).toBe('Cutting bed 2 makes 3 meadows in 2028 2029');
});

test('what is read is kept together; the document, edits and figures are left as they came', () => {
  const answer = {
    verdicts: [{ because: 'It is 3 m.', figure: `12' 6"`, how: ['Found 3 m.'] }],
    garden: { features: [{ note: '3 m', name: 'Bench of 3 m' }] },
    musts: [{ text: 'The way is 3 m wide.', id: 'a 3 m' }],
    edit: { label: '3 m', ops: [{ value: '3 m' }] },
    figures: [{ text: '3 m.', points: [[1, 2]] }],
    below: [{ rows: [['3 m', '4 kg']], head: ['Length, 5 m'] }],
  };
  const before = structuredClone(answer);
  readable(answer);
  expect(open(answer.verdicts[0]!.because + answer.verdicts[0]!.figure + answer.verdicts[0]!.how[0]!)).toBe(`It is 3_m.12'_6"Found 3_m.`);
  expect(open(answer.musts[0]!.text)).toBe('The way is 3_m wide.');
  expect(answer.below[0]!.rows[0]!.map(open)).toEqual(['3_m', '4_kg']);
  expect([answer.garden, answer.edit, answer.figures, answer.musts[0]!.id]).toEqual([before.garden, before.edit, before.figures, before.musts[0]!.id]);
});
