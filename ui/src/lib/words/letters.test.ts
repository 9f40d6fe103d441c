import { expect, test } from 'vitest';
import { notPrinted } from './letters';

test('letters that no paper shows are said, each once', () => {
  expect(notPrinted('Rose corner 🌹, 花壇 🌹')).toBe('On paper an empty box stands for each of 🌹 花 壇: the typeface has Latin, Greek and Cyrillic letters only.');
});
test('what is printed is not spoken of', () => {
  expect(notPrinted('Åse’s bänk, Łódź, Ωμέγα, Сад, 1½ m², 12′ 6″ – “walk”')).toBe('');
});
