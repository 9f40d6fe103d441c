import { expect, test } from 'vitest';
import { inTurn } from './in-turn';

/** A question whose answers are given one by one, in any order. */
function asked(): { look: () => Promise<void>; answer: ((words: string) => void)[]; refuse: ((why: Error) => void)[]; told: string[] } {
  const answer: ((words: string) => void)[] = [];
  const refuse: ((why: Error) => void)[] = [];
  const told: string[] = [];
  const look = inTurn(() => new Promise<string>((done, failed) => (answer.push(done), refuse.push(failed))), (words) => told.push(words));
  return { look, answer, refuse, told };
}

test('an older answer never overtakes a newer one', async () => {
  const { look, answer, told } = asked();
  const all = [look(), look(), look()];
  answer[1]!('second');
  await all[1];
  answer[0]!('first');
  await all[0];
  expect(told).toEqual(['second']);
  answer[2]!('third');
  await all[2];
  expect(told).toEqual(['second', 'third']);
});
test('each answer is told where they come in turn', async () => {
  const { look, answer, told } = asked();
  const all = [look(), look()];
  answer[0]!('first');
  await all[0];
  answer[1]!('second');
  await all[1];
  expect(told).toEqual(['first', 'second']);
});
test('an answer is told though a later question came to nothing, and that is said to who asked', async () => {
  const { look, answer, refuse, told } = asked();
  const first = look();
  const second = look();
  refuse[1]!(new Error('no signal'));
  await expect(second).rejects.toThrow('no signal');
  answer[0]!('first');
  await first;
  expect(told).toEqual(['first']);
});
