import { expect, test } from 'vitest';
import type { FieldSpec, Writing } from '../api/types';
import { fromTyped, helped, toTyped } from './fields';
import { blanks, fillDefaults, idFor, missing, standIn } from './musts';
import { writeMoney, writeYearMonth } from './sums';

const writing: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4', minor: 100 };
const field = (more: Partial<FieldSpec>): FieldSpec => ({ name: 'height', words: 'Height', type: 'length', unit: 'm', ...more });

test('a length is shown as it was typed, and sent as it is typed', () => {
  expect(toTyped(field({}), { m: 3.81, typed: `12' 6"` }, writing)).toBe(`12' 6"`);
  expect(toTyped(field({}), 1.8, writing)).toBe('1.80 m');
  expect(toTyped(field({}), 1.234, writing)).toBe('1.234 m');
  expect(fromTyped(field({}), '180 cm', writing)).toEqual({ ok: true, value: '180 cm' });
});
test('bounds are said in the person’s units', () => {
  expect(fromTyped(field({ min: 0.2, max: 6 }), '9', writing)).toEqual({ ok: false, why: 'At most 6.00 m.' });
  expect(fromTyped(field({ min: 0.2, max: 6 }), '0.1', writing)).toEqual({ ok: false, why: 'At least 0.20 m.' });
});
test('what is explained of a field is read as the program says it in the garden’s own writing', () => {
  const post = field({ help: '0.75 m: common practice', help_in: { 'metric,': '0,75 m: common practice', 'feet.': `2' 6": common practice` } });
  expect(helped(post, writing)).toBe('0.75 m: common practice');
  expect(helped(post, { ...writing, decimal_mark: ',' })).toBe('0,75 m: common practice');
  expect(helped(post, { ...writing, units: 'feet' })).toBe(`2' 6": common practice`);
  expect(helped(field({}), writing)).toBe('');
});
test('hours may be written with their unit, and so many a month are no hours', () => {
  const hours = field({ words: 'Hours a year', type: 'number', unit: 'h', min: 0 });
  for (const text of ['8', '8 h', '8h', '8 hours']) expect(fromTyped(hours, text, writing)).toEqual({ ok: true, value: 8 });
  expect(fromTyped(hours, '8 h a month', writing)).toEqual({ ok: false, why: '“8 h a month” is not a number.' });
});
test('money is whole minor units', () => {
  const sum = field({ type: 'integer', unit: 'money' });
  expect(fromTyped(sum, '2400.50', writing)).toEqual({ ok: true, value: 240050 });
  expect(toTyped(sum, 240050, writing)).toBe('2400.5');
  expect(fromTyped(sum, '2,400', writing).ok).toBe(false);
});
test('bounds of sums and numbers are said as the person writes them', () => {
  const comma: Writing = { ...writing, decimal_mark: ',' };
  expect(fromTyped(field({ type: 'integer', unit: 'money', min: 5050 }), '3', comma)).toEqual({ ok: false, why: 'At least 50,50\u00a0€.' });
  expect(fromTyped(field({ type: 'number', unit: null, max: 0.3 }), '0,4', comma)).toEqual({ ok: false, why: 'At most 0,3.' });
});

test('an empty box', () => {
  expect(fromTyped(field({}), ' ', writing)).toEqual({ ok: true, value: null });
  expect(fromTyped(field({ type: 'text' }), '', writing)).toEqual({ ok: true, value: '' });
  expect(fromTyped(field({ required: true }), '', writing).ok).toBe(false);
});
test('a whole number is whole', () => expect(fromTyped(field({ type: 'integer', unit: null, words: 'Rows' }), '1.5', writing)).toEqual({ ok: false, why: 'Rows is a whole number.' }));

const kind = { kind: 'only_way', words: '', sentence: ['The only way for ', { field: 'walker', pick: 'walker' as const }, ' into ', { field: 'room', pick: 'room' as const }, '.'], fields: [field({ name: 'walker', words: 'Who', type: 'text' }), field({ name: 'room', words: 'Room', type: 'text' })] };
test('the blanks of a sentence', () => {
  expect(blanks(kind).map((b) => b.field)).toEqual(['walker', 'room']);
  const values = fillDefaults(kind, [{ id: 'person', name: 'a person' }]);
  expect(values).toEqual({ walker: 'person' });
  expect(missing(kind, values)).toEqual(['room']);
  expect(missing(kind, { ...values, room: 'green' })).toEqual([]);
});
test('a must is given what its sentence says, and the last year of the plan where it asks for a year', () => {
  const dry = { kind: 'dry', words: '', sentence: [{ field: 'place', pick: 'place' as const }, ' is dry, June to August, by ', { field: 'by', pick: 'year' as const, optional: true }, '.'], fields: [field({ name: 'place', type: 'text' }), field({ name: 'by', type: 'integer' })], fills: { months: [6, 7, 8] } };
  expect(fillDefaults(dry, [], 2032)).toEqual({ months: [6, 7, 8], by: 2032 });
  expect(fillDefaults(dry, [])).toEqual({ months: [6, 7, 8] });
  expect(fillDefaults({ ...kind, begins: { [blanks(kind).find((b) => b.pick === 'walker')!.field]: 'barrow' } }, [{ id: 'person', name: 'a person' }])).toMatchObject({ [blanks(kind).find((b) => b.pick === 'walker')!.field]: 'barrow' });
});
test('an open blank reads as what may fill it', () => {
  const hedge = { kind: 'hedge', words: '', sentence: [], fields: [field({ name: 'feature', words: 'Hedge or row' }), field({ name: 'plants', words: 'What is not eaten' })] };
  expect(standIn({ field: 'feature', pick: 'feature' }, hedge)).toBe('a hedge or row');
  expect(standIn({ field: 'plants', pick: 'place', many: true }, hedge)).toBe('a plant');
  expect(standIn({ field: 'start', pick: 'place' }, hedge)).toBe('a place');
  expect(standIn({ field: 'width', pick: 'length' }, hedge)).toBe('…');
});
test('ids are readable and new', () => {
  expect(idFor('only_way', new Set())).toBe('only-way');
  expect(idFor('only_way', new Set(['only-way', 'only-way-2']))).toBe('only-way-3');
});
test('sums and months', () => {
  expect(writeMoney(240000, writing)).toBe('€2,400');
  expect(writeMoney(-5000, writing)).toBe('−€50');
  expect(writeMoney(123456789, { ...writing, currency: 'CHF' })).toBe('CHF\u00a01,234,568');
  expect(writeYearMonth('2029-10')).toBe('October 2029');
  expect(writeYearMonth('start')).toBe('start');
  const month = { name: 'start', words: 'Month', type: 'year_month', unit: null } as const;
  expect(toTyped(month, '2027-03', writing)).toBe('March 2027');
  expect(fromTyped(month, 'Mar 2027', writing)).toEqual({ ok: true, value: 'Mar 2027' });
});
