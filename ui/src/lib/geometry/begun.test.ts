import { expect, test } from 'vitest';
import type { FieldSpec, Kind } from '../api/types';
import { begunWith } from './begun';

const spec = (name: string, more: Partial<FieldSpec>): FieldSpec => ({ name, required: false, default: null, ...more }) as FieldSpec;
const kind = { fields: [spec('width_m', { required: true }), spec('depth_m', { default: 3 }), spec('height_m', {})], example: { width_m: 3.6, height_m: 2 } } as unknown as Kind;

test('what must be given begins as in the example, what need not at its usual size', () => {
  expect(begunWith(kind, 'width_m')).toBe(3.6);
  expect(begunWith(kind, 'depth_m')).toBe(3);
  expect(begunWith(kind, 'height_m')).toBeNull();
  expect(begunWith(kind, null)).toBeNull();
});
