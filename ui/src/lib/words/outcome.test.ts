import { expect, test } from 'vitest';
import type { MustRow, VerdictCell } from '../api/types';
import { turns } from './outcome';

const cells = (states: string): VerdictCell[] =>
  [...states].map((s, i) => ({ year: 2027 + i, state: s === 'h' ? 'holds' : s === 'f' ? 'fails' : 'not_due', figure: '', because: '', how: [], waiting: s === 'w' }) as VerdictCell);
const row = (states: string, muted = false): MustRow => ({ id: 'hens', text: 'Hens stay in.', kind: '', from_year: null, muted, order: 0, verdicts: cells(states) });
const said = (before: string, after: string): string[] => turns([row(before)], () => cells(after)).map((t) => `${t.better ? '+' : '-'} ${t.words}`);

test.each([
  ['ffhh', 'fhhh', '+ Hens stay in: from 2028, was 2029'],
  ['fhhh', 'ffhh', '- Hens stay in: from 2029, was 2028'],
  ['ffff', 'ffhh', '+ Hens stay in: from 2029, never before'],
  ['hhhh', 'ffff', '- Hens stay in: no longer in any year'],
  ['hhhh', 'hffh', '- Hens stay in: no longer in 2028, 2029'],
  ['hffh', 'hfhh', '+ Hens stay in: now in 2029 too'],
  ['hhff', 'ffhh', '- Hens stay in: holds in 2029, 2030, was 2027, 2028'],
])('%s then %s', (before, after, words) => expect(said(before, after)).toEqual([words]));

test('what stays, is muted, not due or still being judged says nothing', () => {
  expect(said('hhff', 'hhff')).toEqual([]);
  expect(said('hhff', 'wwww')).toEqual([]);
  expect(said('nnhh', 'hhhh')).toEqual([]);
  expect(turns([row('hhhh', true)], () => cells('ffff'))).toEqual([]);
});

test('what got worse comes first', () => {
  const rows = [row('ffff'), { ...row('hhhh'), id: 'dog' }];
  expect(turns(rows, (id) => cells(id === 'dog' ? 'ffff' : 'hhhh')).map((t) => t.id)).toEqual(['dog', 'hens']);
});
