import { expect, test } from 'vitest';
import type { FieldSpec } from '../api/types';
import { entryWords, freshEntry, saysAnything, without } from './lists';

const field: FieldSpec = {
  name: 'finishes', words: 'Finishes', type: 'list', unit: null,
  fields: [{ name: 'id', words: 'Id', type: 'text', unit: null, required: true }, { name: 'floor', words: 'Floor', type: 'choice', unit: null, required: true, choices: [['woodchip', 'wood chip'], ['brick', 'brick']] }],
};
test('an entry is called by its words, its choice or its id', () => {
  expect(entryWords({ id: 'a', words: 'Low wall' }, field)).toBe('Low wall');
  expect(entryWords({ id: 'a', floor: 'woodchip' }, field)).toBe('wood chip');
  expect(entryWords({ id: 'low-wall' }, { ...field, fields: [] })).toBe('low wall');
});
test('a new entry has an id of its own and what it must have', () => {
  expect(freshEntry(field, [{ id: 'n2' }])).toEqual({ id: 'n3', floor: 'woodchip' });
});
test('leaving out', () => expect(without({ id: 'a', kind: 'wall', height: 1 }, ['id'])).toEqual({ kind: 'wall', height: 1 }));
test('a document of nothing but defaults says nothing', () => {
  const fields: FieldSpec[] = [{ name: 'source', words: 'Source', type: 'text', unit: null, default: '' }, { name: 'share', words: 'Share', type: 'number', unit: null, default: 0.2 }];
  expect(saysAnything({}, fields)).toBe(false);
  expect(saysAnything({ source: '', share: 0.2, rain: null, frosts: [], snow: { load: null } }, fields)).toBe(false);
  expect(saysAnything({ share: 0.3 }, fields)).toBe(true);
  expect(saysAnything({ frosts: [{ day: 1 }] }, fields)).toBe(true);
});
