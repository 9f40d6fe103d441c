import { expect, test } from 'vitest';
import { together } from './handed';

const wrong = (id: string, because = 'There is no reading in it.') => ({ id, because });

test('a note in two files counts once, by what came of it last', () => {
  const one = { taken: ['a', 'b'], problems: [wrong('x'), wrong('y')], told: [{ id: 'b', words: 'Stake K was taken out.' }] };
  const two = { taken: ['b', 'c', 'y'], problems: [wrong('x', 'It names no stake.')] };
  expect(together(one, two)).toEqual({ taken: ['a', 'b', 'c', 'y'], problems: [wrong('x', 'It names no stake.')], told: one.told });
});
